//! How far a finished surface may lie from the surface beside it, by nation.

use gangday_model::{Finding, Nation, ParameterTable, Position, TakeOff};

/// Edges as laid and ironwork against the surfaces beside them, for whoever lays and checks them.
///
/// None in a verge, which has no surfacing, and where a figure is missing.
///
/// # Units
/// Millimetres, from rows `finish.*` of the method table.
///
/// # Source
/// SROH 4th edition, S2.2.1 and S2.3; for Scotland the consultation on the 3rd edition of its code,
/// which proposed another lower edge: confirm it in the printed code.
#[must_use]
pub fn finish(nation: Nation, take_off: &TakeOff, method: &ParameterTable) -> Option<Finding> {
    if take_off.position == Position::Verge {
        return None;
    }
    let suffix = if nation == Nation::Scotland {
        ".scotland"
    } else {
        ""
    };
    let edge = |way: &str| method.value(&format!("finish.edge.{way}{suffix}"));
    let (above, below) = (edge("above")?, edge("below")?);
    let frame = method.value("finish.ironwork")?;
    Some(Finding::note(
        "C-FINISH",
        format!(
            "edges as laid may lie {above} mm above and {below} mm below the surface beside them, \
             frame and cover {frame} mm either way"
        ),
        "Check it before the site is left; the code that the authority applies decides.",
    ))
}

#[cfg(test)]
mod tests {
    use gangday_model::{Job, LonLat, Work};

    use super::*;
    use crate::{shipped_materials, shipped_method, take_off};

    fn told(nation: Nation, position: Position) -> Option<String> {
        let (method, materials) = (shipped_method(), shipped_materials());
        let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, position);
        let taken = take_off(&job, &method, &materials).unwrap();
        finish(nation, &taken, &method).map(|note| note.text)
    }

    /// SROH 4th edition, S2.2.1: 6 mm either way; Scotland's consultation (j316834-07): 6 above and
    /// 3 below. Ironwork by S2.3.
    #[test]
    fn edges_as_laid_differ_by_nation() {
        for nation in [Nation::England, Nation::Wales, Nation::NorthernIreland] {
            let text = told(nation, Position::Footway).unwrap();
            assert!(text.contains("6 mm above and 6 mm below"), "{text}");
        }
        let text = told(Nation::Scotland, Position::Carriageway).unwrap();
        assert!(text.contains("6 mm above and 3 mm below"), "{text}");
        assert!(text.contains("frame and cover 6 mm"), "{text}");
        assert_eq!(told(Nation::England, Position::Verge), None);
    }
}
