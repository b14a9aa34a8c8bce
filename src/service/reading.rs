//! What the stick says: the free surface, met by the blade, with the errors of the reading.

use super::machine::View;
pub use crate::circuit::Wetting;

/// One reading of the stick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Distance from the tip along the blade (m).
    pub s: f64,
    /// 0 at MIN, 1 at MAX.
    pub fraction: f64,
    /// Volume below the plane through the reading less that through MAX, at the attitude of the reading (m3).
    pub from_max: f64,
    /// Whether the surface met the blade at all.
    pub wetting: Wetting,
}

/// Takes a reading; `noise` is in standard deviations of the scatter.
///
/// `s = crossing - seat_offset + scatter noise`, held to the blade; `fraction = (s - min) / (max - min)`.
pub(super) fn take(view: &View<'_>, noise: f64) -> Reading {
    let marks = view.marks();
    let stick = &view.stance().stick;
    let (crossing, wetting) = stick.reading(view.surface());
    let s = (crossing - marks.seat_offset + marks.scatter * noise).clamp(0.0, stick.length());
    Reading {
        s,
        fraction: (s - marks.min) / (marks.max - marks.min),
        from_max: view.volume_at(s) - view.volume_at(marks.max),
        wetting,
    }
}
