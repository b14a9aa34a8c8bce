//! Emptying a vessel of any shape: time is the integral of area over flow.

use serde::Serialize;
use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, Time, Volume, VolumeRate};
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

use super::{LowHead, Outflow};
use crate::fluid::error::FluidError;
use crate::numeric::lanes::Lanes;
use crate::numeric::{check, quadrature};

/// Flow in m3/s below which a stream breaks into drops: 0.3 mL/s, some ten drops a second (judgement).
pub const DRIP_FLOW: f64 = 0.3e-6;

/// Relative tolerance of the emptying integrals.
const TOLERANCE: f64 = 1e-9;

/// How oil leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Regime {
    /// A full bore.
    Gush,
    /// A stream that the rim limits.
    Stream,
    /// Drops.
    Drip,
}

/// A vessel seen from its outlet. SI numbers, because it is asked inside an integral.
pub trait Vessel {
    /// Area of the free surface in m2 at a head in metres.
    fn area(&self, head: f64) -> f64;

    /// Heads in metres, in increasing order, where the area jumps or has a kink.
    fn breakpoints(&self) -> &[f64] {
        &[]
    }
}

/// A vessel of one free area at every head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prism {
    area: f64,
}

impl Prism {
    /// A vessel of this free area.
    pub fn new(area: Area) -> Self {
        Self { area: area.get::<square_meter>() }
    }
}

impl Vessel for Prism {
    fn area(&self, _head: f64) -> f64 {
        self.area
    }
}

/// A vessel whose area is a function of head (m to m2), with its breakpoints (m).
#[derive(Debug, Clone)]
pub struct Shape<F> {
    area: F,
    breakpoints: Vec<f64>,
}

impl<F: Fn(f64) -> f64> Shape<F> {
    /// `area` gives m2 at a head in m; `breakpoints` are heads in m, in any order.
    pub fn new(area: F, mut breakpoints: Vec<f64>) -> Self {
        breakpoints.sort_by(f64::total_cmp);
        Self { area, breakpoints }
    }
}

impl<F: Fn(f64) -> f64> Vessel for Shape<F> {
    fn area(&self, head: f64) -> f64 {
        (self.area)(head)
    }

    fn breakpoints(&self) -> &[f64] {
        &self.breakpoints
    }
}

/// One row of a drain curve.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct DrainRow {
    /// Time since the hole was opened.
    pub time: Time,
    /// Head.
    pub head: Length,
    /// Flow.
    pub rate: VolumeRate,
    /// Volume that has left.
    pub volume_out: Volume,
    /// How it leaves.
    pub regime: Regime,
}

impl Outflow {
    /// Time from opening the hole at head `from` until only drops fall ([`DRIP_FLOW`]), or until the head is zero when
    /// the flow never gets so small before.
    ///
    /// `t = integral A dh / Q(h)`; see [`Outflow::time_between`] for a stated end. Continuity, `A dh = -Q dt` (derived);
    /// valid where the free surface is large against the bore, so that the flow is as steady as at a fixed head.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a head outside [`Outflow::lowest_head`] to 100 m.
    pub fn emptying_time(&self, vessel: &impl Vessel, from: Length) -> Result<Time, FluidError> {
        let from = self.accept("from", from)?;
        Ok(Time::new::<second>(self.time_si(vessel, from, self.stream_end_si(from))))
    }

    /// Time in which the head falls from `from` to `to`.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a head outside [`Outflow::lowest_head`] to 100 m or `to` above `from`; [`FluidError::NeverEmpties`] when `to`
    /// is the lowest head and the flow dies away before it (a weir takes for ever over the last of it).
    pub fn time_between(&self, vessel: &impl Vessel, from: Length, to: Length) -> Result<Time, FluidError> {
        let from = self.accept("from", from)?;
        Ok(Time::new::<second>(self.time_si(vessel, from, self.end_si(from, to.get::<meter>())?)))
    }

    /// A stated end in metres, checked: it can be reached.
    fn end_si(&self, from: f64, to: f64) -> Result<f64, FluidError> {
        let lowest = self.lowest_si();
        let to = check::in_range("to", to, lowest, from, "m")?;
        let end = self.stream_end_si(from);
        if to <= lowest && end > lowest {
            return Err(FluidError::NeverEmpties { drips_below_mm: end * 1e3 });
        }
        Ok(to)
    }

    /// Head after the hole has been open for a time, starting from `from`; where only drops fall it stays
    /// (they are counted as none).
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a head outside [`Outflow::lowest_head`] to 100 m or a negative time.
    pub fn head_after(&self, vessel: &impl Vessel, from: Length, time: Time) -> Result<Length, FluidError> {
        let from = self.accept("from", from)?;
        let time = check::in_range("time", time.get::<second>(), 0.0, 1e10, "s")?;
        Ok(Length::new::<meter>(self.head_after_si(vessel, from, time)))
    }

    /// Rows from the opening of the hole at head `from` to the end of the stream: `steps` intervals, closer together
    /// where the flow is small.
    ///
    /// # Errors
    /// [`FluidError::Quantity`] for a head outside [`Outflow::lowest_head`] to 100 m or steps outside 1 to 100000.
    pub fn drain_curve(&self, vessel: &impl Vessel, from: Length, steps: usize) -> Result<Vec<DrainRow>, FluidError> {
        let start = self.accept("from", from)?;
        self.drain_curve_to(vessel, from, Length::new::<meter>(self.stream_end_si(start)), steps)
    }

    /// As [`Outflow::drain_curve`], to a stated head: where that lies below the end of the stream the drops are followed,
    /// by the same law of flow.
    ///
    /// # Errors
    /// Those of [`Outflow::drain_curve`] and [`Outflow::time_between`].
    pub fn drain_curve_to(
        &self,
        vessel: &impl Vessel,
        from: Length,
        to: Length,
        steps: usize,
    ) -> Result<Vec<DrainRow>, FluidError> {
        let from = self.accept("from", from)?;
        check::in_range("steps", steps as f64, 1.0, 1e5, "rows")?;
        let end = self.end_si(from, to.get::<meter>())?;
        let (mut time, mut out, mut head) = (0.0, 0.0, from);
        let mut rows = Vec::with_capacity(steps + 1);
        for i in 0..=steps {
            let left = 1.0 - i as f64 / steps as f64;
            let next = end + (from - end) * left * left;
            time += self.time_si(vessel, head, next);
            out += volume_si(vessel, next, head);
            head = next;
            rows.push(DrainRow {
                time: Time::new::<second>(time),
                head: Length::new::<meter>(head),
                rate: VolumeRate::new::<cubic_meter_per_second>(self.flow_si(head)),
                volume_out: Volume::new::<cubic_meter>(out),
                regime: self.regime_si(head),
            });
        }
        Ok(rows)
    }

    /// How oil leaves at a head in metres.
    pub(super) fn regime_si(&self, head: f64) -> Regime {
        let flow = self.flow_si(head);
        if flow < DRIP_FLOW {
            Regime::Drip
        } else if self.rim_limits(head) {
            Regime::Stream
        } else {
            Regime::Gush
        }
    }

    /// Head in metres where the stream breaks into drops, at most `from`; the lowest head when it never does. The flow rises with
    /// the head, so bisection finds it.
    pub(crate) fn stream_end_si(&self, from: f64) -> f64 {
        let lowest = self.lowest_si();
        if self.low_head == LowHead::Ignore {
            return lowest;
        }
        if self.flow_si(from) < DRIP_FLOW {
            return from;
        }
        // A head too small to see: when the flow is still a stream there, the model knows no drops.
        let (mut low, mut high) = (lowest + 1e-9, from);
        if self.flow_si(low) >= DRIP_FLOW {
            return lowest;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.flow_si(middle) < DRIP_FLOW {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }

    /// Seconds from head `from` to head `to`, metres, unchecked.
    pub(crate) fn time_si(&self, vessel: &impl Vessel, from: f64, to: f64) -> f64 {
        self.time_of(vessel, from, to, self.nu)
    }

    /// [`Outflow::time_si`] with other viscosities (m2/s), several side by side with the bits of each alone: the vessel is asked
    /// once for all.
    pub(crate) fn time_of<X: Lanes>(&self, vessel: &impl Vessel, from: f64, to: f64, nu: X) -> X {
        let knees = X::each(|i| self.knee_of(to, from, nu.lane(i)));
        let first = knees.as_ref()[0];
        if X::COUNT > 1 && knees.as_ref().iter().any(Option::is_some) {
            return X::from_lanes(|i| self.time_of(vessel, from, to, nu.lane(i)));
        }
        integrate_over_levels(vessel, first, to, from, |h| X::splat(vessel.area(h)) / self.flow_of(h, nu))
    }

    /// Head in metres after `time` seconds, unchecked: Newton's steps with dt/dh = -A/Q, kept within what is known.
    pub(crate) fn head_after_si(&self, vessel: &impl Vessel, from: f64, time: f64) -> f64 {
        let (mut low, mut high) = (self.stream_end_si(from), from);
        if time <= 0.0 || high <= low {
            return from;
        }
        if self.time_si(vessel, from, low) <= time {
            return low;
        }
        let mut head = 0.5 * (low + high);
        for _ in 0..60 {
            let excess = self.time_si(vessel, from, head) - time;
            if excess > 0.0 {
                low = head;
            } else {
                high = head;
            }
            let newton = head + excess * self.flow_si(head) / vessel.area(head);
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - head).abs() <= 1e-12 * from {
                return next;
            }
            head = next;
        }
        head
    }
}

/// m3 between two heads in metres.
fn volume_si(vessel: &impl Vessel, low: f64, high: f64) -> f64 {
    integrate_over_levels(vessel, None, low, high, |h| vessel.area(h))
}

/// Integral from `low` to `high`, split at the vessel's breakpoints and one more.
pub(crate) fn integrate_over_levels<X: Lanes>(
    vessel: &impl Vessel,
    extra: Option<f64>,
    low: f64,
    high: f64,
    f: impl Fn(f64) -> X,
) -> X {
    if high <= low {
        return X::splat(0.0);
    }
    let all = vessel.breakpoints();
    let from = all.partition_point(|h| *h <= low);
    let upto = from + all[from..].partition_point(|h| *h < high);
    let mut cuts = Vec::with_capacity(upto - from + 3);
    cuts.push(low);
    cuts.extend_from_slice(&all[from..upto]);
    if let Some(extra) = extra.filter(|h| *h > low && *h < high) {
        cuts.insert(cuts.partition_point(|h| *h <= extra), extra);
    }
    cuts.push(high);
    quadrature::integrate_pieces(f, &cuts, TOLERANCE)
}
