//! At which volumes liquid at one common level lies in several pools.

use super::super::attitude::Attitude;
use super::super::error::GeometryError;
use super::super::sump::Sump;
use super::tree::Tree;

/// What lies in basins that hold less than a layer this thick of the free surface is not told apart \[m\]: the tolerance of a
/// [`Response`](super::super::Response).
const THIN: f64 = 2e-5;

impl Sump {
    /// Ranges of volume at which liquid at one common level lies in more than one pool, rising and apart (m3).
    ///
    /// Basins begin at their lowest points and are one from the sill on where they join; between the second of them and the
    /// sill there are several pools.
    pub(crate) fn split_volumes(&self, attitude: Attitude) -> Result<Vec<[f64; 2]>, GeometryError> {
        if self.mesh().is_none() {
            return Ok(Vec::new());
        }
        let (tree, curve) = (self.basin_tree(attitude)?, self.prepare(attitude)?);
        let roots: Vec<usize> = (0..tree.nodes.len()).filter(|n| tree.nodes[*n].end.is_none()).collect();
        let joins = tree.nodes.iter().map(|n| (n.children.as_slice(), n.base));
        let all = joins.chain([(roots.as_slice(), curve.height_si())]);
        let mut ranges = Vec::new();
        for (parts, sill) in all.filter(|(parts, _)| parts.len() > 1) {
            let thin = THIN * curve.free_surface_si(sill.clamp(0.0, curve.height_si()))?;
            let mut begins = begins(&tree, parts, thin);
            begins.sort_by(f64::total_cmp);
            if let [_, second, ..] = *begins.as_slice() {
                ranges.push([second, sill].map(|level| curve.volume_at(level)));
            }
        }
        Ok(joined(ranges))
    }
}

/// Heights at which the parts begin that hold more than `thin`.
fn begins(tree: &Tree, parts: &[usize], thin: f64) -> Vec<f64> {
    let nodes = parts.iter().map(|n| &tree.nodes[*n]);
    nodes.filter(|n| n.volume > thin).map(|n| tree.heights[n.lowest as usize]).collect()
}

/// Ranges in order, those that touch made one.
pub(crate) fn joined(mut ranges: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    ranges.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut whole: Vec<[f64; 2]> = Vec::new();
    for range in ranges {
        match whole.last_mut() {
            Some(last) if range[0] <= last[1] => last[1] = last[1].max(range[1]),
            _ => whole.push(range),
        }
    }
    whole
}
