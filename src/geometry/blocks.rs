//! Volume below a plane without looking at every face: faces near each other in blocks, blocks in larger ones.
//!
//! A face wholly below height `h` adds `a (h - zm)` with `a = -A . up` and `zm = m . up`, `A` its area vector and `m` its
//! centroid. Over all faces of a block that is `-h (sum A) . up + up . (sum A m') up`: nine numbers that do not depend
//! on the attitude. So only blocks that the plane cuts are opened, and only faces in the last of them looked at: about
//! the square root of all. The sum is the same exact one, in an order that the mesh alone decides.

use super::extent::{highest, lowest};
use super::kernel::{column, sorted};
use super::mesh::ClosedMesh;
use super::sum::Sum;
use super::vector::{Vec3, add, dot, scale, sub};

/// Faces of a smallest block.
const FACES: usize = 16;
/// Blocks in a larger one.
const BLOCKS: usize = 8;

/// Faces from which blocks are worth their making.
pub(crate) const WORTH: usize = 4096;

/// Faces that lie together.
#[derive(Debug, Clone, Copy)]
struct Block {
    /// Half the box's sides, and its middle, from the middle of the mesh.
    half: Vec3,
    middle: Vec3,
    area: Vec3,
    /// Sum of area times centroid, made symmetric: xx, yy, zz, xy, xz, yz.
    moment: [f64; 6],
}

/// What is met on the way through the blocks.
enum Part<'a> {
    Block(&'a Block),
    Faces(&'a [u32]),
}

/// All faces of a mesh in blocks.
#[derive(Debug)]
pub(crate) struct Blocks {
    /// The faces, so that those near each other in space follow each other.
    order: Vec<u32>,
    /// Blocks of faces, blocks of those, and so on; the last are few.
    levels: Vec<Vec<Block>>,
    /// The middle of the mesh.
    centre: Vec3,
}

impl Blocks {
    pub(crate) fn new(mesh: &ClosedMesh) -> Self {
        let order = along_a_curve(mesh);
        let centre = mesh.centre_si();
        let smallest = order.chunks(FACES).map(|faces| Block::of_faces(mesh, centre, faces)).collect();
        let mut levels: Vec<Vec<Block>> = vec![smallest];
        while let Some(last) = levels.last().filter(|last| last.len() > BLOCKS) {
            let larger = last.chunks(BLOCKS).map(Block::of_blocks).collect();
            levels.push(larger);
        }
        Self { order, levels, centre }
    }

    /// Volume below `level` above the lowest vertex; none where that is outside the mesh.
    pub(crate) fn volume(&self, mesh: &ClosedMesh, up: Vec3, level: f64) -> Option<f64> {
        let lowest = self.lowest(mesh, up);
        let height = lowest + level;
        if !(level >= 0.0 && height <= -self.lowest(mesh, up.map(|c| -c))) {
            return None;
        }
        Some(self.below(mesh, up, height))
    }

    /// The middle of the mesh, above which heights are taken.
    pub(crate) fn centre(&self) -> Vec3 {
        self.centre
    }

    /// Volume below a height along *up* above the middle of the mesh, within the mesh.
    pub(crate) fn below(&self, mesh: &ClosedMesh, up: Vec3, height: f64) -> f64 {
        let mut sum = Sum::default();
        self.visit(&mut |part| match part {
            Part::Block(block) => {
                let [low, high] = block.range(up);
                if high <= height {
                    sum.add(block.below(up, height));
                }
                low < height && height < high
            }
            Part::Faces(faces) => {
                for face in faces {
                    let z = sorted(mesh.faces[*face as usize].map(|v| self.height(mesh, v, up)));
                    if z[0] < height {
                        sum.add(-dot(mesh.area[*face as usize], up) * column(z, height));
                    }
                }
                false
            }
        });
        sum.value()
    }

    /// Shows the blocks from the largest down, then what is in those that are to be opened: smaller blocks or, in the
    /// smallest, faces.
    fn visit(&self, open: &mut impl FnMut(Part<'_>) -> bool) {
        let top = self.levels.len() - 1;
        let mut next: Vec<(usize, usize)> = (0..self.levels[top].len()).rev().map(|i| (top, i)).collect();
        while let Some((level, i)) = next.pop() {
            if !open(Part::Block(&self.levels[level][i])) {
                continue;
            }
            if level == 0 {
                open(Part::Faces(self.faces(i)));
            } else {
                let parts = i * BLOCKS..((i + 1) * BLOCKS).min(self.levels[level - 1].len());
                next.extend(parts.rev().map(|i| (level - 1, i)));
            }
        }
    }

    fn faces(&self, block: usize) -> &[u32] {
        &self.order[block * FACES..((block + 1) * FACES).min(self.order.len())]
    }

    #[inline]
    fn height(&self, mesh: &ClosedMesh, vertex: u32, up: Vec3) -> f64 {
        let (v, c) = (vertex as usize, self.centre);
        (mesh.x[v] - c[0]) * up[0] + (mesh.y[v] - c[1]) * up[1] + (mesh.z[v] - c[2]) * up[2]
    }

    /// Height of the lowest vertex above the middle of the mesh. (Blocks that begin above one found are passed over; the first
    /// found is the lowest of the block that begins lowest.)
    pub(crate) fn lowest(&self, mesh: &ClosedMesh, up: Vec3) -> f64 {
        let of_faces = |faces: &[u32]| {
            let corners = faces.iter().flat_map(|f| mesh.faces[*f as usize]);
            corners.map(|v| self.height(mesh, v, up)).fold(f64::INFINITY, f64::min)
        };
        let begins = |level: usize, i: usize| self.levels[level][i].range(up)[0];
        let (mut i, mut parts) = (0, 0..self.levels[self.levels.len() - 1].len());
        for level in (0..self.levels.len()).rev() {
            i = parts.min_by(|a, b| begins(level, *a).total_cmp(&begins(level, *b))).unwrap_or(0);
            parts = i * BLOCKS..((i + 1) * BLOCKS).min(level.checked_sub(1).map_or(0, |l| self.levels[l].len()));
        }
        let mut least = of_faces(self.faces(i));
        self.visit(&mut |part| match part {
            Part::Block(block) => block.range(up)[0] < least,
            Part::Faces(faces) => {
                least = of_faces(faces).min(least);
                false
            }
        });
        least
    }
}

impl Block {
    fn of_faces(mesh: &ClosedMesh, centre: Vec3, faces: &[u32]) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        let (mut area, mut moment) = ([0.0; 3], [0.0; 6]);
        for face in faces {
            let [a, b, c] = mesh.corners(*face as usize).map(|v| sub(v, centre));
            for k in 0..3 {
                low[k] = lowest(&[low[k], a[k], b[k], c[k]]);
                high[k] = high[k].max(a[k]).max(b[k]).max(c[k]);
            }
            let (n, m) = (mesh.area[*face as usize], scale(add(add(a, b), c), 1.0 / 3.0));
            area = add(area, n);
            let cross = |i: usize, j: usize| n[i] * m[j] + n[j] * m[i];
            let own = [n[0] * m[0], n[1] * m[1], n[2] * m[2], cross(0, 1), cross(0, 2), cross(1, 2)];
            moment.iter_mut().zip(own).for_each(|(sum, term)| *sum += term);
        }
        Self::spanning(low, high, area, moment)
    }

    fn of_blocks(blocks: &[Self]) -> Self {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        let (mut area, mut moment) = ([0.0; 3], [0.0; 6]);
        for b in blocks {
            for k in 0..3 {
                low[k] = low[k].min(b.middle[k] - b.half[k]);
                high[k] = high[k].max(b.middle[k] + b.half[k]);
            }
            area = add(area, b.area);
            moment.iter_mut().zip(b.moment).for_each(|(sum, term)| *sum += term);
        }
        Self::spanning(low, high, area, moment)
    }

    fn spanning(low: Vec3, high: Vec3, area: Vec3, moment: [f64; 6]) -> Self {
        Self { half: scale(sub(high, low), 0.5), middle: scale(add(low, high), 0.5), area, moment }
    }

    /// Heights that the box lies between.
    #[inline]
    fn range(&self, up: Vec3) -> [f64; 2] {
        let (middle, half) = (dot(self.middle, up), dot(self.half, up.map(f64::abs)));
        [middle - half, middle + half]
    }

    /// What the faces add when all are below a height.
    #[inline]
    fn below(&self, up: Vec3, height: f64) -> f64 {
        let [xx, yy, zz, xy, xz, yz] = self.moment;
        let [x, y, z] = up;
        x * (xx * x + xy * y + xz * z) + y * (yy * y + yz * z) + zz * z * z - height * dot(self.area, up)
    }
}

/// Bits of a place along each axis.
const BITS: u32 = 10;

/// The faces in the order of a curve that fills space and keeps what is near together (Morton 1966, cited from memory):
/// the bits of a centroid's coordinates, taken in turn.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // between 0 and 2^10
fn along_a_curve(mesh: &ClosedMesh) -> Vec<u32> {
    let (low, high) = mesh.bounds_si();
    let size = highest(&sub(high, low));
    let per_unit = f64::from((1u32 << BITS) - 1) / size;
    let place = |face: usize| {
        let [a, b, c] = mesh.corners(face);
        let bits = [0, 1, 2].map(|k| {
            let along = (a[k] + b[k] + c[k]) / 3.0 - low[k];
            spread(((along * per_unit) as u32).min((1 << BITS) - 1))
        });
        bits[0] << 2 | bits[1] << 1 | bits[2]
    };
    let mut keys: Vec<u64> = (0..mesh.face_count()).map(|i| u64::from(place(i)) << 32 | i as u64).collect();
    keys.sort_unstable();
    keys.into_iter().map(|key| key as u32).collect()
}

/// Ten bits, two zeros between each.
fn spread(x: u32) -> u32 {
    let x = (x | x << 16) & 0x0300_00ff;
    let x = (x | x << 8) & 0x0300_f00f;
    let x = (x | x << 4) & 0x030c_30c3;
    (x | x << 2) & 0x0924_9249
}

#[cfg(test)]
mod tests {
    use super::super::kernel::View;
    use super::super::tests::support::{at, stepped_bus};
    use super::*;

    #[test]
    fn bits_are_spread() {
        for i in 0..BITS {
            assert_eq!(spread(1 << i), 1 << (3 * i));
        }
        assert_eq!(spread(0b11_1111_1111).count_ones(), BITS);
    }

    /// Against the pass over all faces, which is held against closed forms and clipped solids.
    #[test]
    fn blocks_give_what_all_faces_give() {
        let sump = stepped_bus();
        let mesh = sump.mesh().unwrap();
        let blocks = Blocks::new(mesh);
        let mut seen = vec![false; mesh.face_count()];
        blocks.order.iter().for_each(|f| seen[*f as usize] = true);
        assert!(seen.into_iter().all(|s| s));
        for (p, r) in [(0.0, 0.0), (1e-7, -1e-6), (1.5, 0.7), (-33.0, 12.0), (80.0, -20.0), (-89.0, 0.0)] {
            let up = at(p, r).up_si();
            let view = View::new(mesh, up);
            assert_eq!(blocks.lowest(mesh, up) + dot(blocks.centre, up), view.datum);
            let top = highest(&view.heights);
            for i in 0..=50u8 {
                let level = top * f64::from(i) / 50.0;
                let (all, some) = (view.volume(level), blocks.volume(mesh, up, level));
                // The very top may round to either side.
                let Some(some) = some else {
                    assert!(i == 50);
                    continue;
                };
                assert!((all - some).abs() <= 1e-14 * sump.capacity_si(), "{p} {r} {level}: {all} {some}");
            }
            assert!(blocks.volume(mesh, up, -1e-9).is_none() && blocks.volume(mesh, up, top + 1e-9).is_none());
        }
    }
}
