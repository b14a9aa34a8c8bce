//! Free surfaces of the sump over a range of attitudes, prepared for draws of an uncertain one.

use uom::si::f64::Volume;
use uom::si::volume::cubic_meter;

use crate::geometry::{Attitude, Domain, GeometryError, Point, Response, ResponseOptions, Sump, joined};
use crate::numeric::lanes::Lanes;

/// Attitudes along either angle at which it is looked whether liquid may lie apart.
const LOOKS: u32 = 5;
/// How much wider, either way and of its width, a range of volumes is taken at which it does: for attitudes between those.
const MARGIN: f64 = 0.1;

/// Heights of the free surface over the stick's tip, and the volumes at which there may be several surfaces.
#[derive(Debug)]
pub(crate) struct Surfaces {
    pub(crate) response: Response,
    /// Volumes of the drawing at which liquid lies in several pools at some of the attitudes, rising and apart (m3).
    split: Vec<[f64; 2]>,
}

impl Surfaces {
    /// Prepares them for as long as `go_on` says so; `None` when it does not.
    pub(crate) fn new_while(
        sump: &Sump,
        tip: Point,
        domain: Domain,
        go_on: &dyn Fn() -> bool,
    ) -> Result<Option<Self>, GeometryError> {
        let response = Response::build_while(sump, tip, domain, ResponseOptions::default(), go_on)?;
        let mut ranges = Vec::new();
        for attitude in looks(domain)? {
            if !go_on() {
                return Ok(None);
            }
            ranges.extend(sump.split_volumes(attitude)?);
        }
        let wider = |[low, high]: [f64; 2]| {
            let margin = MARGIN * (high - low);
            [low - margin, high + margin]
        };
        Ok(Some(Self { response, split: joined(ranges.into_iter().map(wider).collect()) }))
    }

    /// Whether there is a volume that may lie in several pools at some of the attitudes.
    pub(crate) fn splits(&self) -> bool {
        !self.split.is_empty()
    }

    /// Whether a volume of the drawing (m3), or any of several, may lie in several pools at some of the attitudes.
    pub(crate) fn may_lie_apart<X: Lanes>(&self, volume: X) -> bool {
        self.split.iter().any(|[low, high]| volume.any(|volume| (*low..=*high).contains(&volume)))
    }
}

/// Attitudes spread evenly over a domain, its corners among them.
fn looks(domain: Domain) -> Result<Vec<Attitude>, GeometryError> {
    let along = |(low, high): (f64, f64)| -> Vec<f64> {
        let steps = if high > low { LOOKS } else { 1 };
        (0..steps).map(|i| low + (high - low) * f64::from(i) / f64::from((steps - 1).max(1))).collect()
    };
    let rolls = along(domain.right_down_deg);
    let pairs = along(domain.nose_up_deg).into_iter().flat_map(|p| rolls.iter().map(move |r| (p, *r)));
    pairs.map(|(p, r)| Attitude::from_degrees(p, r)).collect()
}

/// A range of volumes made wider, to whole sixteenths of the capacity, so that services that differ little share it.
pub(crate) fn in_sixteenths(sump: &Sump, [low, high]: [f64; 2]) -> (Volume, Volume) {
    let part = sump.capacity_si() / 16.0;
    let at = |sixteenths: f64| Volume::new::<cubic_meter>((sixteenths.clamp(0.0, 16.0) * part).min(sump.capacity_si()));
    let low = (low / part).floor().min(15.0);
    (at(low), at((high / part).ceil().max(low.max(0.0) + 1.0)))
}
