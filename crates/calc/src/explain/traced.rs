//! Where each figure comes from: the job itself, or a row of a table.

use gangday_model::{Job, Millimetres, ParameterTable, Work};

use super::{Explained, Part, Traced};

/// What figures are looked up in.
pub(super) struct Tables<'a> {
    pub(super) job: &'a Job,
    pub(super) method: &'a ParameterTable,
    pub(super) materials: &'a ParameterTable,
}

impl Tables<'_> {
    /// A quantity with its figures.
    pub(super) fn tell(
        &self,
        quantity: &str,
        (value, unit): (f64, &str),
        formula: &str,
        numbers: String,
        keys: &[&str],
    ) -> Explained {
        Explained {
            quantity: quantity.to_owned(),
            value,
            unit: unit.to_owned(),
            formula: formula.to_owned(),
            numbers,
            parameters: keys.iter().filter_map(|key| self.traced(key)).collect(),
            part: Part::default(),
        }
    }

    /// The figure of this key as the job states it, or as a table does.
    pub(super) fn traced(&self, key: &str) -> Option<Traced> {
        if let Some((property, size)) = self.stated(key) {
            return Some(Traced {
                key: property.to_owned(),
                value: size,
                unit: if property == "sections" { "no." } else { "mm" }.to_owned(),
                source: format!("stated by job {}", self.job.id),
                date: String::new(),
            });
        }
        let row = self.method.get(key).or_else(|| self.materials.get(key))?;
        Some(Traced {
            key: row.key.clone(),
            value: row.value,
            unit: row.unit.clone(),
            source: if row.source.is_empty() {
                "no source stated".to_owned()
            } else {
                row.source.clone()
            },
            date: row.date.clone(),
        })
    }

    /// The figure of a row.
    pub(super) fn value(&self, key: &str) -> f64 {
        self.traced(key).map_or(0.0, |traced| traced.value)
    }

    /// The job's own property in place of this row, where it states one.
    fn stated(&self, key: &str) -> Option<(&'static str, f64)> {
        let sizes = &self.job.sizes;
        let whole = |name, size: Option<Millimetres>| Some((name, size?.mm() as f64));
        match key {
            "chamber.clear_length" => whole("clear_length_mm", sizes.clear_length),
            "chamber.clear_width" => whole("clear_width_mm", sizes.clear_width),
            "chamber.section_depth" => whole("section_depth_mm", sizes.section_depth),
            "chamber.wall" => whole("wall_mm", sizes.wall),
            "chamber.base" => whole("base_mm", sizes.base),
            "chamber.embed" => whole("embed_mm", sizes.embed),
            "chamber.ironwork_depth" => whole("ironwork_depth_mm", sizes.ironwork_depth),
            "chamber.bedding" | "chamber.adjust_bedding" => whole("bedding_mm", sizes.bedding),
            "chamber.margin" => whole("margin_mm", sizes.margin),
            "ironwork_length_mm" => whole("ironwork_length_mm", sizes.ironwork_length),
            "ironwork_width_mm" => whole("ironwork_width_mm", sizes.ironwork_width),
            "chamber.sections" if self.job.work != Work::Adjust => {
                sizes.sections.map(|n| ("sections", f64::from(n)))
            }
            _ => None,
        }
    }
}
