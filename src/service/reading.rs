//! What the stick says: the free surface, met by the blade, with the errors of the reading.

use super::event::Face;
use super::program::HowIx;
use super::view::View;
use crate::circuit::Ix;
pub use crate::circuit::Wetting;
use crate::fluid::STANDARD_GRAVITY;

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
    /// Whether liquid lies in the sump that the stick does not see, apart from the pool its tip stands in.
    pub apart: bool,
}

/// A reading as it is taken. What it means in volume is worked out when it is asked for.
#[derive(Clone, Copy)]
pub struct Taken<'a> {
    view: &'a View<'a>,
    /// Where MAX stands on this stick (m).
    max: f64,
    /// How much lower than the circuit's own it hangs (m).
    longer: f64,
    /// Distance from the tip along the blade (m).
    pub s: f64,
    /// 0 at MIN, 1 at MAX.
    pub fraction: f64,
    /// Whether the surface met the blade at all.
    pub wetting: Wetting,
}

impl Taken<'_> {
    /// Volume below the plane through the reading less that through MAX, at the attitude of the reading (m3).
    pub fn from_max(&self) -> f64 {
        self.view.volume_at(self.s - self.longer) - self.view.volume_at(self.max - self.longer)
    }

    /// Everything the reading says.
    pub fn all(&self) -> Reading {
        Reading {
            s: self.s,
            fraction: self.fraction,
            from_max: self.from_max(),
            wetting: self.wetting,
            apart: self.view.lying.is_some() && !self.view.apart().is_empty(),
        }
    }
}

/// Takes a reading.
///
/// ```text
/// s = crossing(H + dP/(ρ g)) - seat_offset + meniscus + smear + faces + scatter noise
/// fraction = (s - min)/(max - min)
/// ```
///
/// held to the blade; the smear counts on an unwiped stick, or where the event states one, the faces where the higher side is read.
pub(super) fn take<'a>(view: &'a View<'a>, how: &HowIx, smeared: bool) -> Taken<'a> {
    let layout = view.program.circuit.layout();
    let (own, input) = (layout.stick, |ix: Ix| view.inputs[ix]);
    let other = how.stick.map(|i| layout.sticks[i].1);
    let [min, max] = other.map_or([own.min, own.max], |o| [o.min, o.max]).map(input);
    let longer = other.map_or(0.0, |o| input(o.longer));
    let pressure = input(how.tube_pressure.unwrap_or(own.tube_pressure));
    let lifted = if pressure == 0.0 { 0.0 } else { pressure / (view.sump_density() * STANDARD_GRAVITY) };
    let smear = match how.smear {
        Some(stated) => input(stated),
        None if smeared => input(own.smear),
        None => 0.0,
    };
    let faces = if how.face == Face::Higher { input(own.faces) } else { 0.0 };
    let seat = input(own.seat_offset) + how.seat_offset.map_or(0.0, input);
    let stick = view.standing().stick();
    let (crossing, wetting) = match view.surface() {
        Some(surface) => stick.reading_from(surface + lifted, longer),
        None => (0.0, Wetting::BelowTip),
    };
    let apparent = crossing - seat + input(own.meniscus) + smear + faces + input(own.scatter) * input(how.noise);
    let s = apparent.clamp(0.0, stick.length() + longer);
    Taken { view, max, longer, s, fraction: (s - min) / (max - min), wetting }
}
