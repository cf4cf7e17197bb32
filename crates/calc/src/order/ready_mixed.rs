//! Ready-mixed concrete in place of bags, for pours that are large enough.

use gangday_model::MaterialLine;

use super::rates::Rates;
use super::sums::Sums;

const MM3_PER_M3: f64 = 1e9;

/// What could be ordered in place of bags; nothing where no pour is large enough.
///
/// # Units
/// m3: net in place, and each pour with its waste rounded up to what a plant delivers by.
pub(super) fn ready_mixed(sums: &Sums, rates: &Rates<'_>) -> Option<MaterialLine> {
    let [net, ordered] = sums.ready_mixed.map(|mm3| mm3 as f64 / MM3_PER_M3);
    if sums.ready_pours == 0 {
        return None;
    }
    let (from, step) = (
        rates.share("ready_mixed.from"),
        rates.size("ready_mixed.step"),
    );
    let waste = ["base", "surround"].map(|of| rates.share(&format!("waste.{of}_concrete")));
    let pours = sums.ready_pours;
    Some(MaterialLine {
        material: "ready_mixed".to_owned(),
        name: "Ready-mixed concrete, in place of its bags".to_owned(),
        measured: net,
        ordered,
        unit: "m3".to_owned(),
        packs: None,
        rounding_added: ordered - net,
        brought_forward: 0.0,
        left_over: 0.0,
        supply: None,
        why: format!(
            "{pours} pours of {} m3 and more, {net:.4} m3 in all; each with its waste ({} % \
             base, {} % surround) rounded up to {} m3 = {ordered:.4} m3. From {}; {}; {}; {}.",
            from.value,
            waste[0].value,
            waste[1].value,
            step.value,
            from.told,
            step.told,
            waste[0].told,
            waste[1].told
        ),
    })
}
