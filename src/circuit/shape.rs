//! From the shape a file describes to a sump.

use std::collections::BTreeMap;
use std::sync::Arc;

use uom::si::f64::{Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::spec::SumpSpec;
use super::wrong_content;
use crate::Error;
use crate::geometry::{ClosedMesh, Sump};
use crate::numeric::check;

impl SumpSpec {
    /// Builds the sump; files named by the shape are in `files`.
    pub(super) fn build(&self, files: &BTreeMap<String, Arc<[u8]>>) -> Result<Sump, Error> {
        match self {
            Self::Box { length, width, height } => {
                Ok(Sump::cuboid(metres(length.nominal()), metres(width.nominal()), metres(height.nominal()))?)
            }
            Self::Mesh { vertices_mm, faces } => {
                let vertices = vertices_mm.iter().map(|v| v.map(|c| c / 1e3)).collect();
                Ok(Sump::from_mesh(ClosedMesh::try_new(vertices, faces.clone())?))
            }
            Self::Stl { file, unit } => {
                let bytes = files.get(file).map_or(&[][..], |b| b);
                Ok(Sump::from_stl_bytes(bytes, *unit)?)
            }
            Self::Table { level_mm, volume_l, centroid_mm } => {
                check::all_finite("sump.table.level_mm", level_mm)?;
                check::all_finite("sump.table.volume_l", volume_l)?;
                check::all_finite("sump.table.centroid_mm", centroid_mm.as_flattened())?;
                if level_mm.len() != volume_l.len() {
                    return Err(wrong_content(
                        "sump.table",
                        0,
                        &format!(
                            "level_mm has {} entries and volume_l {}; they go in pairs",
                            level_mm.len(),
                            volume_l.len()
                        ),
                    )
                    .into());
                }
                let litres = |v: f64| Volume::new::<cubic_meter>(v / 1e3);
                let rows: Vec<_> = level_mm.iter().zip(volume_l).map(|(h, v)| (metres(h / 1e3), litres(*v))).collect();
                if centroid_mm.is_empty() {
                    return Ok(Sump::from_table(&rows)?);
                }
                let centroid: Vec<_> = centroid_mm.iter().map(|[x, y]| (metres(x / 1e3), metres(y / 1e3))).collect();
                Ok(Sump::from_table_with_centroid(&rows, &centroid)?)
            }
        }
    }
}

fn metres(length: f64) -> Length {
    Length::new::<meter>(length)
}
