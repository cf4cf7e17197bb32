//! How the public is led past works: decision tables of what the code allows, one family to a file,
//! read in order of how little they hold traffic up. Limits are rows of the table of figures, so a
//! user can change them; a limit whose fact nobody states is not met. A proposal: a competent person
//! designs the arrangement and agrees it.

mod both_ways;
mod facts;
mod give_and_take;
pub(crate) mod key;
mod on_foot;
mod priority;
mod section;
mod signals;
mod stop_go;
mod table;

use gangday_model::{
    Arrangement, Closure, ClosureKind, Control, Job, Nation, OnFoot, Ruling, Street, Verdict,
    WidthLeft,
};

pub(crate) use facts::SiteFacts;
use table::{Family, stands};

use crate::footprint::Footprint;
use crate::key as figures;
use crate::rules::Rules;

/// What always goes with an arrangement.
pub const ARRANGEMENT_CAUTION: &str = "A proposal for planning and ordering. A competent person \
    designs the arrangement, sets it out to the code and agrees it with the street authority; what \
    is from memory is to be read in the code before use. Local codes prevail.";

/// In order of how little they hold traffic up.
const FAMILIES: [&Family; 6] = [
    &both_ways::BOTH_WAYS,
    &both_ways::ONE_WAY,
    &give_and_take::GIVE_AND_TAKE,
    &priority::PRIORITY,
    &stop_go::STOP_GO,
    &signals::SIGNALS,
];

impl Rules {
    /// How the public is led past one job: control, widths, kit and the street across.
    pub(crate) fn arrange(
        &self,
        job: &Job,
        street: Option<&Street>,
        closure: &Closure,
        drawn: Option<&Footprint>,
        nation: Nation,
    ) -> Arrangement {
        let site = self.site_facts(street, closure, drawn);
        let (control, mut because, rulings) = self.control(&site);
        let (on_foot, walking, mut widths) = self.on_foot(&site);
        because.push(' ');
        because.push_str(&walking);
        because.push_str(&self.short_words(&site, nation));
        because.push_str(&self.speed_words(&site, control));
        widths.extend(self.lane_left(&site));
        let walkway = widths.iter().find(|width| width.of == "walkway");
        let walkway = walkway.map_or(0.0, |width| width.left_m);
        let clearance = self.value(self.clearance_key(site.mph));
        Arrangement {
            job: job.id.clone(),
            control,
            on_foot,
            because,
            rulings,
            widths,
            coned_m: site.coned_m,
            kit: self.kit(&site, control, on_foot),
            section: section::section(&site, on_foot, walkway, clearance),
            caution: ARRANGEMENT_CAUTION.to_owned(),
        }
    }

    /// The first family whose every test is met, with the rulings of all up to it.
    fn control(&self, site: &SiteFacts) -> (Control, String, Vec<Ruling>) {
        match site.kind {
            ClosureKind::None | ClosureKind::Footway => {
                let because = "No lane is taken: traffic passes as before.".to_owned();
                (Control::None, because, Vec::new())
            }
            ClosureKind::Road => {
                let because = "The whole road is taken.".to_owned();
                (Control::RoadClosed, because, Vec::new())
            }
            ClosureKind::Lane => self.past_a_lane(site),
        }
    }

    fn past_a_lane(&self, site: &SiteFacts) -> (Control, String, Vec<Ruling>) {
        let mut all = Vec::new();
        for family in FAMILIES {
            let rulings = self.rulings(family, site);
            if stands(&rulings) {
                let because =
                    because(family.control, &rulings, &all) + &self.unmeasured_words(site);
                all.extend(rulings);
                return (family.control, because, all);
            }
            all.extend(rulings);
        }
        let because = format!(
            "No way of leading traffic past can be shown to fit, so stop and apply for a closure \
             ({}).",
            self.source(figures::LANE_MINIMUM)
        );
        (Control::RoadClosed, because, all)
    }

    /// Nobody states the width, or no line is near: what is left has to be measured first.
    fn unmeasured_words(&self, site: &SiteFacts) -> String {
        if site.left_m.is_some() {
            return String::new();
        }
        format!(
            " The width left for traffic is not known: measure it first, and below {} m stop and \
             apply for a closure ({}).",
            self.value(figures::LANE_MINIMUM),
            self.source(figures::LANE_MINIMUM)
        )
    }

    fn lane_left(&self, site: &SiteFacts) -> Option<WidthLeft> {
        let left_m = site.left_m?;
        let is_bus_told = left_m < self.value(key::BUS);
        let buses = if is_bus_told {
            format!(
                "; below {} m, so bus operators are told ({})",
                self.value(key::BUS),
                self.source(key::BUS)
            )
        } else {
            String::new()
        };
        Some(WidthLeft {
            of: "carriageway".to_owned(),
            left_m,
            wanted_m: self.value(key::SHUTTLE),
            least_m: self.value(figures::LANE_MINIMUM),
            because: format!(
                "carriageway less works, working space and {} m sideways clearance{buses}",
                self.value(self.clearance_key(site.mph))
            ),
            source: self.source(figures::LANE_MINIMUM).to_owned(),
        })
    }

    /// The code's figure is the speed that is driven; the limit is all that is stated.
    fn speed_words(&self, site: &SiteFacts, control: Control) -> String {
        let from = self.value(key::SIGNALS_SPEED_LOOK);
        if control != Control::PortableSignals || site.mph < from {
            return String::new();
        }
        format!(
            " Where {from} mph or more is driven, consider a lower speed ({}).",
            self.source(key::SIGNALS_SPEED_LOOK)
        )
    }

    fn short_words(&self, site: &SiteFacts, nation: Nation) -> String {
        let most = self.short_duration_minutes(nation);
        if site.minutes > most {
            return String::new();
        }
        format!(
            " It stands {:.0} minutes, and up to {most} count as of short duration here.",
            site.minutes
        )
    }
}

/// Why this control and not one that holds traffic up less.
fn because(control: Control, met: &[Ruling], before: &[Ruling]) -> String {
    let tests: Vec<&str> = met
        .iter()
        .filter(|ruling| ruling.verdict == Verdict::Met && !ruling.words.starts_with("not so"))
        .map(|ruling| ruling.words.as_str())
        .collect();
    let mut text = format!("{}: {}.", name(control), tests.join("; "));
    let against = before.iter().rev().find(|ruling| {
        matches!(ruling.verdict, Verdict::NotMet | Verdict::NotStated) && ruling.control != control
    });
    if let Some(against) = against {
        text.push_str(&format!(
            " Not {}: {}.",
            name(against.control).to_lowercase(),
            against.words
        ));
    }
    if let Some(ruling) = met.first() {
        text.push_str(&format!(" ({})", ruling_source(met, ruling)));
    }
    text
}

/// The clause of the family's own limits: the last that is not the lane's width.
fn ruling_source<'a>(met: &'a [Ruling], first: &'a Ruling) -> &'a str {
    met.get(1)
        .map_or(first.source.as_str(), |ruling| ruling.source.as_str())
}

/// What a control is called.
#[must_use]
pub const fn name(control: Control) -> &'static str {
    match control {
        Control::None => "No traffic control",
        Control::BothWays => "Both ways pass",
        Control::OneWay => "One lane, one way",
        Control::GiveAndTake => "Give and take",
        Control::PrioritySigns => "Priority signs",
        Control::StopGoBoards => "Stop/go boards",
        Control::PortableSignals => "Portable signals",
        Control::RoadClosed => "Road closed",
    }
}

/// Where walkers are told to go.
#[must_use]
pub const fn on_foot_name(on_foot: OnFoot) -> &'static str {
    match on_foot {
        OnFoot::Unaffected => "Footway as before",
        OnFoot::PastWorks => "Past the works on the footway",
        OnFoot::Walkway => "Walkway in the carriageway",
        OnFoot::OtherFootway => "Over to the other footway",
    }
}

#[cfg(test)]
mod tests;
