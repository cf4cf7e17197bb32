//! The sizes that a job states, in millimetres, and the bounds outside which they would be absurd.

use gangday_model::{Millimetres, Sizes, Work};
use serde_json::Value;

use crate::codes;
use crate::fields::{Fields, Span};

/// The usual clear opening, in mm.
///
/// # Source
/// Common practice, no source.
const USUAL_CLEAR: std::ops::RangeInclusive<i64> = 450..=2800;

/// Sizes from a job's properties.
pub(crate) fn sizes(fields: &mut Fields<'_>, work: Work) -> Sizes {
    for name in ["clear_length_mm", "clear_width_mm"] {
        fields.need(name, "State the clear opening inside the frames, in mm.");
    }
    let sizes = Sizes {
        clear_length: clear(fields, "clear_length_mm"),
        clear_width: clear(fields, "clear_width_mm"),
        sections: sections(fields, work),
        section_depth: mm(fields, "section_depth_mm", 25, 2000),
        wall: mm(fields, "wall_mm", 5, 500),
        base: mm(fields, "base_mm", 0, 2000),
        embed: mm(fields, "embed_mm", 0, 1000),
        ironwork_depth: mm(fields, "ironwork_depth_mm", 10, 600),
        ironwork_length: mm(fields, "ironwork_length_mm", 100, 7000),
        ironwork_width: mm(fields, "ironwork_width_mm", 100, 7000),
        bedding: mm(fields, "bedding_mm", 0, 300),
        margin: mm(fields, "margin_mm", 0, 2000),
    };
    if let (Some(embed), Some(base)) = (sizes.embed, sizes.base)
        && embed > base
    {
        let text = format!(
            "`embed_mm` is {}, deeper than the base of {} mm.",
            embed.mm(),
            base.mm()
        );
        fields.fault(
            codes::JOB_EMBED,
            "embed_mm",
            text,
            "Correct `embed_mm` or `base_mm`.",
        );
    }
    sizes
}

/// A size within bounds outside which it would be absurd.
fn mm(fields: &mut Fields<'_>, name: &str, least: i64, most: i64) -> Option<Millimetres> {
    let span = Span {
        least,
        most,
        unit: " mm",
    };
    fields.whole(name, &span).map(Millimetres::from_mm)
}

fn clear(fields: &mut Fields<'_>, name: &str) -> Option<Millimetres> {
    let size = mm(fields, name, 100, 6000)?;
    if !USUAL_CLEAR.contains(&size.mm()) {
        let (least, most) = (USUAL_CLEAR.start(), USUAL_CLEAR.end());
        let text = format!(
            "`{name}` is {} mm; {least} to {most} mm is usual.",
            size.mm()
        );
        fields.warn(
            codes::JOB_USUAL,
            name,
            text,
            "Check it against the drawing.",
        );
    }
    Some(size)
}

fn sections(fields: &mut Fields<'_>, work: Work) -> Option<u32> {
    if work != Work::Adjust {
        fields.need("sections", "State how many sections are stacked.");
    }
    let span = Span {
        least: 0,
        most: 100,
        unit: "",
    };
    let count = fields.whole("sections", &span)?;
    let stated_work = fields.get("work").is_some_and(Value::is_string);
    if work == Work::Adjust && count > 0 {
        let text = format!("`sections` is {count}, but an adjustment leaves the chamber as it is.");
        let remedy = "Write 0, or `replace` if sections are to be stacked.";
        fields.warn(codes::JOB_SECTIONS, "sections", text, remedy);
    } else if work != Work::Adjust && count == 0 && stated_work {
        let text = "`sections` is 0, but a new or replaced chamber needs at least one.".to_owned();
        let remedy = "Write how many sections are stacked, or `adjust` if only the ironwork is.";
        fields.fault(codes::JOB_SECTIONS, "sections", text, remedy);
    }
    u32::try_from(count).ok()
}
