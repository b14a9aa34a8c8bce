//! Joint draws of the noisy reading and the state it was taken of.

use super::super::run::{Collect, run_draws};
use super::service::{Aim, PROBE, Service};
use crate::Error;
use crate::numeric::lanes::{Eight, Lanes};
use crate::service::{Bend, Event, Misfit, Recorder, Side, Taken, View};

/// What one draw says about a correction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Case {
    /// The last reading (m).
    pub reading: f64,
    /// Volume up to MAX, in the reference condition (m3); negative over MAX.
    pub room: f64,
    /// Volume from MIN to MAX, in the reference condition (m3).
    pub span: f64,
    /// What a stated volume of new oil adds to the drained-back volume [-].
    pub added: f64,
    /// What a stated volume taken out takes from the drained-back volume [-].
    pub taken: f64,
}

/// Joint draws, with what the circuit held before the pour (m3).
pub(super) struct Joint {
    pub cases: Vec<Case>,
    pub residue: Vec<f64>,
    at: At,
    /// Of the draws that are running.
    now: [Heard; Eight::COUNT],
}

/// What is heard of a draw as it runs.
#[derive(Debug, Clone, Copy, Default)]
struct Heard {
    residue: f64,
    reading: f64,
    span: f64,
    /// Room up to MAX at the last reading and after each probe (m3).
    rooms: [f64; 3],
}

impl Heard {
    fn case(&self, aim: Aim) -> Case {
        let [room, first, second] = self.rooms;
        let (added, taken) = match aim {
            Aim::Refill => (room - first, second - first),
            Aim::Withdraw => (first - second, first - room),
        };
        let (added, taken) = (added / PROBE, taken / PROBE);
        Case { reading: self.reading, room, span: self.span, added, taken }
    }
}

/// Where things are recorded.
#[derive(Debug, Clone, Copy)]
struct At {
    /// Events done before the pour.
    done: usize,
    /// The reading that counts.
    reading: usize,
    /// Index of the last event before the probe.
    end: usize,
    aim: Aim,
}

impl Service<'_> {
    /// The joint draws after a first pour of `steps` jug steps.
    ///
    /// What a correction does is seen by a probe, as both a pour and a withdrawal change the drained-back volume in
    /// proportion to what is stated: volumes of components add, and a withdrawal takes a share of all that is in the pool.
    pub(super) fn joint(&self, steps: u32) -> Result<Joint, Error> {
        let events = self.events(steps);
        let [pour, withdraw] = self.probes();
        match self.aim {
            Aim::Refill => self.probed(events, [pour, withdraw]),
            Aim::Withdraw => self.probed(events, [withdraw, pour]),
        }
    }

    /// The joint draws without a first pour. The sump may hold too little for anything to be taken out; that is not probed.
    pub(super) fn joint_unpoured(&self) -> Result<Joint, Error> {
        let [pour, _] = self.probes();
        self.probed(self.events(0), [pour])
    }

    fn probed<const N: usize>(&self, mut events: Vec<Event>, probes: [Event; N]) -> Result<Joint, Error> {
        let at = At { done: self.done.len(), reading: 0, end: events.len() - 1, aim: self.aim };
        events.extend(probes);
        let program = self.options.predict.compile(self.circuit, &events)?;
        let at = At { reading: program.reading_count() - 1, ..at };
        run_draws(&program, &self.options.predict, &|_, n| Joint::new(at, n))
    }
}

impl Joint {
    fn new(at: At, draws: usize) -> Self {
        let (cases, residue) = (Vec::with_capacity(draws), Vec::with_capacity(draws));
        Self { cases, residue, at, now: [Heard::default(); Eight::COUNT] }
    }

    /// Takes what is heard of draws side by side.
    fn hear<X: Lanes>(&mut self, x: X, put: impl Fn(&mut Heard, f64)) {
        self.now[..X::COUNT].iter_mut().enumerate().for_each(|(i, heard)| put(heard, x.lane(i)));
    }
}

impl<X: Side> Recorder<X> for Joint {
    fn start(&mut self, view: &View<'_, X>) {
        if self.at.done == 0 {
            self.hear(view.volume_in_circuit(), |heard, volume| heard.residue = volume);
        }
    }

    fn reading(&mut self, nth: usize, taken: &Taken<'_, X>) {
        if nth == self.at.reading {
            self.hear(taken.s, |heard, s| heard.reading = s);
        }
    }

    fn row(&mut self, event: usize, view: &View<'_, X>) {
        if event + 1 == self.at.done {
            self.hear(view.volume_in_circuit(), |heard, volume| heard.residue = volume);
        }
        let Some(after) = event.checked_sub(self.at.end) else { return };
        self.hear(view.volume_at_max() - view.drained_back(), |heard, room| heard.rooms[after] = room);
        if after == 0 {
            let [min, max] = view.volumes_at_marks();
            self.hear(max - min, |heard, span| heard.span = span);
        }
    }

    fn end(&mut self, _view: &View<'_, X>) {
        let aim = self.at.aim;
        self.cases.extend(self.now[..X::COUNT].iter().map(|heard| heard.case(aim)));
        self.residue.extend(self.now[..X::COUNT].iter().map(|heard| heard.residue));
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

impl Collect for Joint {
    fn join(&mut self, next: Self) {
        self.cases.extend(next.cases);
        self.residue.extend(next.residue);
    }
}
