//! What the stick says: the free surface, met by the blade, with the errors of the reading.

use super::apart::Side;
use super::event::Face;
use super::program::HowIx;
use super::view::View;
use crate::circuit::Ix;
pub use crate::circuit::Wetting;
use crate::fluid::STANDARD_GRAVITY;
use crate::numeric::lanes::Lanes;

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
pub struct Taken<'a, X: Side = f64> {
    view: &'a View<'a, X>,
    /// Where MAX stands on this stick (m).
    max: X,
    /// How much lower than the circuit's own it hangs (m).
    longer: X,
    /// Distance from the tip along the blade (m).
    pub s: X,
    /// 0 at MIN, 1 at MAX.
    pub fraction: X,
    /// Whether the surface met the blade at all, draw by draw.
    wettings: <X as Lanes>::Each<Wetting>,
}

impl<X: Side> Taken<'_, X> {
    /// Volume below the plane through the reading less that through MAX, at the attitude of the reading (m3).
    pub fn from_max(&self) -> X {
        X::widely(
            #[inline(always)]
            || self.view.volume_between(self.max - self.longer, self.s - self.longer),
        )
    }

    /// Whether the surface met the blade at all, draw by draw.
    pub fn wettings(&self) -> &[Wetting] {
        self.wettings.as_ref()
    }
}

impl Taken<'_> {
    /// Whether the surface met the blade at all.
    pub fn wetting(&self) -> Wetting {
        self.wettings[0]
    }

    /// Everything the reading says.
    pub fn all(&self) -> Reading {
        Reading {
            s: self.s,
            fraction: self.fraction,
            from_max: self.from_max(),
            wetting: self.wetting(),
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
#[inline(always)]
#[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
pub(super) fn take<'a, X: Side>(view: &'a View<'a, X>, how: &HowIx, smeared: bool) -> Taken<'a, X> {
    let layout = view.program.circuit.layout();
    let (own, input, zero) = (layout.stick, |ix: Ix| view.inputs[ix], X::splat(0.0));
    let other = how.stick.map(|i| layout.sticks[i].1);
    let [min, max] = other.map_or([own.min, own.max], |o| [o.min, o.max]).map(input);
    let longer = other.map_or(zero, |o| input(o.longer));
    let pressure = input(how.tube_pressure.unwrap_or(own.tube_pressure));
    let lifted = if pressure.all(|p| p == 0.0) { zero } else { pressure / (view.sump_density() * STANDARD_GRAVITY) };
    let smear = match how.smear {
        Some(stated) => input(stated),
        None if smeared => input(own.smear),
        None => zero,
    };
    let faces = if how.face == Face::Higher { input(own.faces) } else { zero };
    let seat = input(own.seat_offset) + how.seat_offset.map_or(zero, input);
    let mut crossing = zero;
    let mut wettings = X::each(|_| Wetting::BelowTip);
    if let Some(surface) = view.surface() {
        (crossing, wettings) = met(view, surface + lifted, longer);
    }
    let apparent = crossing - seat + input(own.meniscus) + smear + faces + input(own.scatter) * input(how.noise);
    // At whatever attitude.
    let length = view.program.stances[0].stick.length();
    let s = apparent.with(longer, |s, longer| s.clamp(0.0, length + longer));
    Taken { view, max, longer, s, fraction: (s - min) / (max - min), wettings }
}

/// Where a surface meets the blade of a stick that hangs lower by `longer`, and whether it does, draw by draw.
#[inline(always)]
#[allow(clippy::inline_always)] // likewise
fn met<X: Side>(view: &View<'_, X>, surface: X, longer: X) -> (X, X::Each<Wetting>) {
    if X::COUNT > 1
        && let Some(crossing) = view.program.on_blade(view.stance, view.leans, surface, longer)
    {
        return (crossing, X::each(|_| Wetting::OnBlade));
    }
    let mut crossing = surface;
    let wettings = X::each(|i| {
        let (at, wetting) = view.program.reading(view.stance, view.leans, i, [surface.lane(i), longer.lane(i)]);
        crossing.set_lane(i, at);
        wetting
    });
    (crossing, wettings)
}
