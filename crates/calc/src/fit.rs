//! Whether a chamber's sizes can be built, each by itself and with each other.

use gangday_model::{DigShape, Finding, Job, Millimetres, Position, Street};

use crate::chamber::{self, Chamber, MethodSizes};
use crate::stated::Stated;

/// Longer than any part of a chamber that is stacked by hand: a slip of unit, common sense.
const ABSURD: Millimetres = Millimetres::from_mm(5_000);

/// Flatter than any dig that still is one: a slip of unit, common sense.
const FLATTEST: i64 = 3_000;

/// The least size that is one.
const LEAST: Millimetres = Millimetres::from_mm(1);

/// Deeper than sectional chambers are stacked from inside an open dig, common sense.
const DEEPEST: Millimetres = Millimetres::from_mm(10_000);

impl Chamber {
    /// The job's sizes, with the method's in place of what it leaves out.
    ///
    /// # Errors
    /// Every size that can't be built, and how to mend it.
    pub(crate) fn of(
        job: &Job,
        street: Option<&Street>,
        method: &MethodSizes,
    ) -> Result<Self, Vec<Finding>> {
        let stated = Stated::of(job, street)?;
        let mut chamber = Self::resolved(job, &stated, method);
        let mut faults = chamber.absurd_sizes(job);
        faults.extend(chamber.lay(stated.layers, street, method));
        if faults.is_empty() {
            faults = [
                chamber.no_sections(),
                chamber.thin_base(),
                chamber.short_stack(),
                chamber.narrow_margin(),
                chamber.too_deep(),
                chamber.thick_surfacing(),
            ]
            .into_iter()
            .flatten()
            .collect();
            faults.extend(chamber.unfit_ironwork());
        }
        if faults.is_empty() {
            return Ok(chamber);
        }
        Err(faults
            .into_iter()
            .map(|fault| fault.in_file("jobs.geojson").at(job.id.as_str()))
            .collect())
    }

    /// Takes on the layers that somebody states, with the lifts of each.
    fn lay(
        &mut self,
        stated: Option<Vec<(String, Millimetres)>>,
        street: Option<&Street>,
        method: &MethodSizes,
    ) -> Vec<Finding> {
        if self.position == Position::Verge {
            return Vec::new();
        }
        let road_type = street
            .and_then(|street| street.road_type)
            .filter(|_| self.position == Position::Carriageway);
        let own = stated.or_else(|| method.layers(self.position, road_type).cloned());
        let Some(layers) = own else {
            return (road_type == Some(0)).then(type_0).into_iter().collect();
        };
        let mut faults = Vec::new();
        self.surfacing = layers.iter().map(|(_, thickness)| thickness).sum();
        for (mixture, thickness) in layers {
            match method.layering.lifts(&mixture, thickness) {
                Ok(lifts) => self.layers.push((mixture, thickness, lifts)),
                Err(fault) => faults.push(fault.of("layers")),
            }
        }
        faults
    }

    fn absurd_sizes(&self, job: &Job) -> Vec<Finding> {
        let mut sizes = vec![
            ("clear_length_mm", self.clear_length, LEAST),
            ("clear_width_mm", self.clear_width, LEAST),
            ("wall_mm", self.wall, LEAST),
            ("ironwork_depth_mm", self.ironwork_depth, LEAST),
            ("margin_mm", self.margin, LEAST),
            ("bedding_mm", self.bedding, Millimetres::ZERO),
        ];
        // Left to default, the ironwork is as large as the chamber, which is judged by its own sizes.
        sizes.extend(
            job.sizes
                .ironwork_length
                .map(|size| ("ironwork_length_mm", size, LEAST)),
        );
        sizes.extend(
            job.sizes
                .ironwork_width
                .map(|size| ("ironwork_width_mm", size, LEAST)),
        );
        if self.is_built() {
            sizes.push(("section_depth_mm", self.section_depth, LEAST));
            sizes.push(("base_mm", self.base, LEAST));
            sizes.push(("embed_mm", self.embed, Millimetres::ZERO));
        }
        if self.shape == DigShape::Sheeted {
            sizes.push(("sheeting_mm", self.sheeting, Millimetres::ZERO));
        }
        sizes
            .into_iter()
            .filter_map(|(name, size, least)| absurd(name, size, least))
            .chain(self.absurd_batter())
            .collect()
    }

    fn absurd_batter(&self) -> Option<Finding> {
        let sound = (0..=FLATTEST).contains(&self.batter);
        (self.shape == DigShape::Battered && !sound).then(|| {
            Finding::fault(
                "C-SIZE",
                format!(
                    "batter_mm_per_m is {}, not from 0 to {FLATTEST}",
                    self.batter
                ),
                "State how far a side goes out per metre of height, in whole millimetres.",
            )
            .of("batter_mm_per_m")
        })
    }

    fn no_sections(&self) -> Option<Finding> {
        (self.is_built() && self.sections == 0).then(|| {
            Finding::fault(
                "C-SECTIONS",
                "a chamber of no sections is none",
                "State how many sections are stacked, or make the work an adjustment.",
            )
            .of("sections")
        })
    }

    fn thin_base(&self) -> Option<Finding> {
        (self.is_built() && self.base < self.embed).then(|| {
            let (base, embed) = (self.base.mm(), self.embed.mm());
            Finding::fault(
                "C-BASE",
                format!("the base is {base} mm, but the first section stands {embed} mm in it"),
                "Thicken the base or set the section less deep.",
            )
            .of("base_mm")
        })
    }

    fn short_stack(&self) -> Option<Finding> {
        let stack = self.section_depth * self.sections;
        (self.is_built() && self.sections > 0 && stack < self.embed).then(|| {
            let (stack, embed) = (stack.mm(), self.embed.mm());
            Finding::fault(
                "C-EMBED",
                format!("the sections are {stack} mm tall, but stand {embed} mm in the base"),
                "Stack more sections or set the first one less deep.",
            )
            .of("embed_mm")
        })
    }

    fn narrow_margin(&self) -> Option<Finding> {
        (self.margin < self.plate).then(|| {
            let (margin, plate) = (self.margin.mm(), self.plate.mm());
            Finding::fault(
                "C-MARGIN",
                format!("the working space is {margin} mm, but the compacting plate is {plate} mm"),
                "Widen the working space, or set chamber.plate to the plate on the gang.",
            )
            .of("margin_mm")
        })
    }

    fn too_deep(&self) -> Option<Finding> {
        let depth = self.formation();
        (depth > DEEPEST).then(|| {
            let (depth, deepest) = (depth.mm(), DEEPEST.mm());
            Finding::fault(
                "C-DEPTH",
                format!("the dig would be {depth} mm deep, beyond the {deepest} mm that this method reaches"),
                "Check the number of sections and their depth.",
            )
            .of("sections")
        })
    }

    fn thick_surfacing(&self) -> Option<Finding> {
        let available = self.type1_top();
        (self.position != Position::Verge && self.surfacing > available).then(|| {
            let (surfacing, available) = (self.surfacing.mm(), available.mm());
            Finding::fault(
                "C-SURFACING",
                format!("the surfacing is {surfacing} mm, but only {available} mm are available"),
                "Lessen chamber.surfacing for this position, or dig deeper.",
            )
            .of("ironwork_depth_mm")
        })
    }

    fn unfit_ironwork(&self) -> Vec<Finding> {
        let along = (
            "ironwork_length_mm",
            self.ironwork_length,
            self.clear_length,
            self.foot_length(),
        );
        let across = (
            "ironwork_width_mm",
            self.ironwork_width,
            self.clear_width,
            self.foot_width(),
        );
        let unfit =
            |(property, ironwork, clear, dig): (&str, Millimetres, Millimetres, Millimetres)| {
                let (text, remedy) = if ironwork <= clear {
                    (
                        "has no wall to bear on",
                        "Choose ironwork wider than the clear opening.",
                    )
                } else if ironwork > dig {
                    (
                        "is wider than the dig",
                        "Choose smaller ironwork or more working space.",
                    )
                } else {
                    return None;
                };
                let (ironwork, clear, dig) = (ironwork.mm(), clear.mm(), dig.mm());
                let text =
                    format!("ironwork of {ironwork} mm {text}: opening {clear} mm, dig {dig} mm");
                Some(Finding::fault("C-IRONWORK", text, remedy).of(property))
            };
        [along, across].into_iter().filter_map(unfit).collect()
    }
}

impl MethodSizes {
    /// The method's layers for this road type, or else for this position.
    fn layers(
        &self,
        position: Position,
        road_type: Option<u8>,
    ) -> Option<&Vec<(String, Millimetres)>> {
        let key = chamber::key(position);
        road_type
            .and_then(|road_type| self.layering.stack(&format!("{key}_{road_type}")))
            .or_else(|| self.layering.stack(key))
    }
}

fn type_0() -> Finding {
    Finding::fault(
        "C-TYPE-0",
        "a carriageway of road type 0 takes no usual surfacing",
        "State its layers, on the job, on the street or as rows layers.carriageway_0.N.MIXTURE.",
    )
    .of("layers")
}

fn absurd(property: &str, size: Millimetres, least: Millimetres) -> Option<Finding> {
    if size >= least && size <= ABSURD {
        return None;
    }
    let size = size.mm();
    let text = if size > ABSURD.mm() {
        format!("{property} is {size} mm, more than {} mm", ABSURD.mm())
    } else if least == LEAST {
        format!("{property} is {size} mm, not above nothing")
    } else {
        format!("{property} is {size} mm, below nothing")
    };
    Some(Finding::fault("C-SIZE", text, "State the size in whole millimetres.").of(property))
}
