//! Where each figure comes from: the job itself, or a row of a table.

use gangday_model::{Job, Layer, Millimetres, Parameter, ParameterTable, TakeOff, Work};

use serde_json::Value;

use super::{Explained, Part, Traced};
use crate::chamber;

/// A figure to twelve digits: what floating point adds beyond them says nothing.
pub(super) fn plain(value: f64) -> String {
    let rounded = format!("{value:.11e}").parse::<f64>();
    rounded.unwrap_or(value).to_string()
}

/// How the sides of a dig stand, as a job says it, in the order of `dig.shape`.
const SHAPES: [&str; 3] = ["vertical", "sheeted", "battered"];

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
        if let Some(own) = self.stated_dig(key) {
            return Some(own);
        }
        if let Some((property, size)) = self.stated(key) {
            let unit = if property == "sections" { "no." } else { "mm" };
            return Some(self.by_job(property, size, unit));
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

    /// How the job states that its dig stands, where it does.
    fn stated_dig(&self, key: &str) -> Option<Traced> {
        let (property, unit) = match key {
            "dig.shape" => ("dig", "0 vertical, 1 sheeted, 2 battered"),
            "dig.sheeting" => ("sheeting_mm", "mm"),
            "dig.batter" => ("batter_mm_per_m", "mm out per m of depth"),
            _ => return None,
        };
        let stated = self.job.extra.get(property)?;
        let value = match stated.as_str() {
            Some(shape) => SHAPES.iter().position(|known| *known == shape)? as f64,
            None => stated.as_f64()?,
        };
        Some(self.by_job(property, value, unit))
    }

    /// Who states how deep the surfacing goes: whoever states its layers, else a row by position.
    pub(super) fn surfacing(&self, taken: &TakeOff) -> Vec<Traced> {
        if !taken.layers.is_empty() {
            return taken.layers.iter().map(|layer| self.layer(layer)).collect();
        }
        let own = format!("chamber.surfacing.{}", chamber::key(taken.position));
        let row = self.traced(&own);
        row.or_else(|| self.traced("chamber.surfacing"))
            .into_iter()
            .collect()
    }

    /// Who states a layer: the job, a row of the method table, or else the street.
    pub(super) fn layer(&self, layer: &Layer) -> Traced {
        let mm = layer.thickness.mm() as f64;
        let suffix = format!(".{}", layer.mixture);
        let thick = layer.thickness.mm();
        let same = |row: &&Parameter| row.key.ends_with(&suffix) && row.value as i64 == thick;
        let row = || self.method.under("layers.").find(same);
        self.stated_layer(&layer.mixture)
            .or_else(|| row().and_then(|row| self.traced(&row.key)))
            .unwrap_or_else(|| Traced {
                source: "stated by its street".to_owned(),
                ..self.by_job("layers", mm, "mm")
            })
    }

    /// A layer of this mixture as the job states it.
    fn stated_layer(&self, mixture: &str) -> Option<Traced> {
        let layers = self.job.extra.get("layers")?.as_array()?;
        let of = |layer: &&Value| layer.get("mixture").and_then(Value::as_str) == Some(mixture);
        let mm = layers.iter().find(of)?.get("mm")?.as_f64()?;
        Some(self.by_job("layers", mm, "mm"))
    }

    fn by_job(&self, property: &str, value: f64, unit: &str) -> Traced {
        Traced {
            key: property.to_owned(),
            value,
            unit: unit.to_owned(),
            source: format!("stated by job {}", self.job.id),
            date: String::new(),
        }
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
