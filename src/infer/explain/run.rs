//! The program of a model carried out at points of the sampler, one or several side by side, and what is noted of each.

use super::draft::How;
use super::model::Model;
use crate::Error;
use crate::circuit::{SUMP, Wetting};
use crate::numeric::lanes::Lanes;
use crate::service::{Bend, COMPONENTS, Misfit, Recorder, Scratch, Seen, Side, Taken, View};

/// Density of the coolant that went missing (kg/m3).
const COOLANT_DENSITY: f64 = 1065.0;

/// Working memory of a run at one point, or at several side by side.
pub(super) struct Run<'a, X: Side> {
    model: &'a Model,
    pub inputs: Vec<X>,
    /// Values of the coordinates.
    pub values: Vec<X>,
    scratch: Scratch<X>,
    pub sheet: Sheet<'a, X>,
}

impl<'a, X: Side> Run<'a, X> {
    pub(super) fn new(model: &'a Model) -> Result<Self, Error> {
        let inputs: Vec<X> = model.program.nominals().iter().map(|x| X::splat(*x)).collect();
        let scratch = model.program.scratch_abreast(&inputs)?;
        Ok(Self { model, inputs, values: vec![X::splat(0.0); model.dimensions()], scratch, sheet: Sheet::new(model) })
    }

    /// Runs the program at points whose scores follow one another; `false` where several cannot go side by side.
    pub(super) fn carry_out(&mut self, scores: &[f64]) -> Result<bool, Error> {
        self.set(scores);
        let program = &self.model.program;
        program.refresh(&self.inputs, self.model.touched, &mut self.scratch);
        Ok(program.run_abreast(&self.inputs, &mut self.scratch, &mut self.sheet)?)
    }

    /// Puts the points where the program wants them.
    fn set(&mut self, scores: &[f64]) {
        let model = self.model;
        let score = |i: usize| X::from_lanes(|lane| scores[lane * model.dimensions() + i]);
        for change in &model.changes {
            self.inputs[change.input] = X::splat(model.program.nominals()[change.input]);
        }
        for (i, (value, coordinate)) in self.values.iter_mut().zip(&model.coordinates).enumerate() {
            let z = match model.tie {
                Some((scale, datum, r)) if datum == i => score(scale) * r + score(i) * (1.0 - r * r).sqrt(),
                _ => score(i),
            };
            *value = z.map(|z| coordinate.ready.at_score(z));
            for ix in &coordinate.inputs {
                self.inputs[*ix] = *value;
            }
        }
        for change in &model.changes {
            let by = self.values[change.coordinate] * change.factor;
            let input = &mut self.inputs[change.input];
            *input = match change.how {
                How::Set => by,
                How::Add => *input + by,
                How::Scale => *input * by,
            };
        }
    }
}

impl Run<'_, f64> {
    /// Takes over what was done at one of several points.
    pub(super) fn take<X: Side>(&mut self, many: &Run<'_, X>, lane: usize) {
        for ix in &self.model.driven {
            self.inputs[*ix] = many.inputs[*ix].lane(lane);
        }
        for (value, of) in self.values.iter_mut().zip(&many.values) {
            *value = of.lane(lane);
        }
        self.sheet.take(&many.sheet, lane);
    }
}

/// A reading as the simulation has it, without noise: along the blade (m), fraction, from MAX (m3).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Simulated<X: Lanes = f64> {
    pub along: X,
    pub fraction: X,
    /// 0 where no reading of the record is told by volume.
    pub from_max: X,
    pub wettings: X::Each<Wetting>,
}

impl Simulated {
    /// Where there is no reading.
    pub(super) const NOTHING: Self = Self { along: 0.0, fraction: 0.0, from_max: 0.0, wettings: [Wetting::BelowTip] };
}

/// What a state shows beside the stick.
#[derive(Debug, Clone, Copy)]
pub(super) struct End<X: Lanes = f64> {
    pub shares: [X; 3],
    pub coolant: X,
    pub floor: X,
    pub drained: X,
    pub filter_went: X::Each<bool>,
}

/// Listens to one run, or to several side by side.
pub(super) struct Sheet<'a, X: Side> {
    model: &'a Model,
    pub readings: Vec<Simulated<X>>,
    /// What the slope adds to each of the record's readings at the nodes (m).
    pub shifts: Vec<[X; 9]>,
    pub end: End<X>,
    /// The state at the end of the story, where checks were appended.
    pub seen: X::Each<Option<Seen>>,
}

impl<'a, X: Side> Sheet<'a, X> {
    fn new(model: &'a Model) -> Self {
        let zero = X::splat(0.0);
        let end = End { shares: [zero; 3], coolant: zero, floor: zero, drained: zero, filter_went: X::each(|_| false) };
        let readings = Vec::with_capacity(model.program.reading_count());
        let shifts = vec![[zero; 9]; model.readings.len()];
        Self { model, readings, shifts, end, seen: X::each(|_| None) }
    }
}

impl Sheet<'_, f64> {
    fn take<X: Side>(&mut self, many: &Sheet<'_, X>, lane: usize) {
        let reading = |r: &Simulated<X>| Simulated {
            along: r.along.lane(lane),
            fraction: r.fraction.lane(lane),
            from_max: r.from_max.lane(lane),
            wettings: [r.wettings.as_ref()[lane]],
        };
        self.readings.clear();
        self.readings.extend(many.readings.iter().map(reading));
        if self.model.slope.is_some() {
            for (own, of) in self.shifts.iter_mut().zip(&many.shifts) {
                *own = of.map(|shift| shift.lane(lane));
            }
        }
        self.end = End {
            shares: many.end.shares.map(|share| share.lane(lane)),
            coolant: many.end.coolant.lane(lane),
            floor: many.end.floor.lane(lane),
            drained: many.end.drained.lane(lane),
            filter_went: [many.end.filter_went.as_ref()[lane]],
        };
        self.seen = [many.seen.as_ref()[lane]];
    }
}

impl<X: Side> Recorder<X> for Sheet<'_, X> {
    fn start(&mut self, _view: &View<'_, X>) {
        self.readings.clear();
    }

    fn row(&mut self, event: usize, view: &View<'_, X>) {
        for (slopes, shifts) in self.model.slopes.iter().zip(&mut self.shifts) {
            if let Some(slopes) = slopes.as_ref().filter(|s| s.event == event) {
                let (volume, datum) = (view.volume_of_drawing(), view.datum());
                (0..X::COUNT).for_each(|i| {
                    let of_point = slopes.shifts(volume.lane(i), datum.lane(i));
                    shifts.iter_mut().zip(of_point).for_each(|(shift, of)| shift.set_lane(i, of));
                });
            }
        }
        if event != self.model.last_told {
            return;
        }
        let places = &self.model.program.places;
        let contents = view.contents();
        let sump = &contents[SUMP];
        let total = sump.total_of::<{ COMPONENTS.len() }>().at_least(1e-12);
        let went = contents[places.old_filter].total_of::<{ COMPONENTS.len() }>();
        self.end = End {
            shares: [sump.mass[0] / total, sump.mass[2] / total, (sump.mass[3] + sump.mass[4]) / total],
            coolant: view.supplied()[3] / COOLANT_DENSITY,
            floor: view.volume(places.floor),
            drained: view.volume(places.pan),
            filter_went: X::each(|i| went.lane(i) > 0.0),
        };
        if let Some(watch) = &self.model.watch {
            let mut seen = watch.end(view);
            self.seen = X::each(|_| seen.next());
        }
    }

    fn reading(&mut self, _nth: usize, taken: &Taken<'_, X>) {
        let wettings = taken.wettings();
        self.readings.push(Simulated {
            along: taken.s,
            fraction: taken.fraction,
            from_max: if self.model.by_volume { taken.from_max() } else { X::splat(0.0) },
            wettings: X::each(|i| wettings[i]),
        });
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}
