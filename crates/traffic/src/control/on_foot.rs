//! Where walkers go while a footway or cycle track is taken.

use gangday_model::{ClosureKind, OnFoot, WidthLeft};

use super::facts::SiteFacts;
use super::key;
use crate::key as figures;
use crate::rules::Rules;

/// Where walkers go, the rule in words, and the widths that were looked at.
pub(super) type Walking = (OnFoot, String, Vec<WidthLeft>);

impl Rules {
    /// Past the works on the footway where enough is left; else on a walkway in the carriageway
    /// where traffic still passes; else over to the other footway.
    ///
    /// # Source
    /// Widths: Safety at Street Works and Road Works, Code of Practice (October 2013), footway past
    /// works. The order of preference: common practice, no source.
    pub(super) fn on_foot(&self, site: &SiteFacts) -> Walking {
        if site.kind != ClosureKind::Footway {
            let because = "The footway is left as it is.".to_owned();
            return (OnFoot::Unaffected, because, Vec::new());
        }
        let stated = site.footway_m.filter(|width| *width > 0.0);
        let footway = stated.map(|width| self.past_works(site, width));
        if let Some(left) = footway.iter().find(|left| left.left_m >= left.least_m) {
            let because = format!("{:.2} m of footway is left past the works.", left.left_m);
            return (OnFoot::PastWorks, because, vec![left.clone()]);
        }
        let why = match &footway {
            Some(left) => format!("Only {:.2} m of footway is left.", left.left_m),
            None => "The footway's width is not stated, so it can't be shown that enough is left."
                .to_owned(),
        };
        let mut widths: Vec<WidthLeft> = footway.into_iter().collect();
        match self.walkway(site) {
            Some([walkway, carriageway]) => {
                let because = format!(
                    "{why} A walkway of {:.1} m in the carriageway leaves {:.2} m for traffic.",
                    walkway.left_m, carriageway.left_m
                );
                widths.extend([walkway, carriageway]);
                (OnFoot::Walkway, because, widths)
            }
            None => {
                let because = format!(
                    "{why} Nor can it be shown that a walkway in the carriageway leaves room for \
                     traffic, so walkers are led to the other footway: see that there is one, and \
                     that everybody can cross."
                );
                (OnFoot::OtherFootway, because, widths)
            }
        }
    }

    /// A footway that was narrower than the least before the works need not be widened.
    fn past_works(&self, site: &SiteFacts, footway: f64) -> WidthLeft {
        let (wanted, least) = (
            self.value(figures::WAY_PAST),
            self.value(figures::WAY_PAST_MINIMUM),
        );
        WidthLeft {
            of: "footway".to_owned(),
            left_m: (footway - site.works.1).max(0.0),
            wanted_m: wanted.min(footway),
            least_m: least.min(footway),
            because: format!("{footway} m of footway less {:.2} m of works", site.works.1),
            source: self.source(figures::WAY_PAST_MINIMUM).to_owned(),
        }
    }

    /// A walkway of the wanted width, else of the least, with what it leaves for traffic.
    fn walkway(&self, site: &SiteFacts) -> Option<[WidthLeft; 2]> {
        let widths = [figures::WAY_PAST, figures::WAY_PAST_MINIMUM];
        widths
            .into_iter()
            .find_map(|key| self.walkway_of(site, self.value(key)))
    }

    fn walkway_of(&self, site: &SiteFacts, walkway: f64) -> Option<[WidthLeft; 2]> {
        let clearance = self.value(self.clearance_key(site.mph));
        let needed = if site.one_way {
            figures::LANE_MINIMUM
        } else {
            key::BOTH_WAYS
        };
        let width = site.width_m?;
        let left = width - walkway - clearance;
        let least = self.value(needed);
        (left >= least).then(|| {
            [
                WidthLeft {
                    of: "walkway".to_owned(),
                    left_m: walkway,
                    wanted_m: self.value(figures::WAY_PAST),
                    least_m: self.value(figures::WAY_PAST_MINIMUM),
                    because: "guarded on both sides, in the carriageway".to_owned(),
                    source: self.source(figures::WAY_PAST).to_owned(),
                },
                WidthLeft {
                    of: "carriageway".to_owned(),
                    left_m: left,
                    wanted_m: least,
                    least_m: least,
                    because: format!(
                        "{width} m of carriageway less {walkway} m of walkway and {clearance} m of \
                         sideways clearance"
                    ),
                    source: self.source(needed).to_owned(),
                },
            ]
        })
    }
}
