//! Finding the table of a plan: bins of the reading, the price of ending over MAX, and the proof on the other draws.

use super::joint::Case;
use super::policy::{Advice, Policy, PolicyRow, bin_of};
use super::service::in_steps;
use super::shape::{Bin, Counted};

/// Bins and corrections beyond so many are gathered several at a time.
const MOST_BINS: i64 = 1000;
const MOST_ACTIONS: i64 = 2000;
/// Share of the readings at either end that is not told apart.
const TAIL: f64 = 1e-3;
/// How many of its standard errors the share over MAX stays below the risk.
const STANDARD_ERRORS: f64 = 2.0;
/// Relative rounding of a number of steps.
const ROUNDING: f64 = 1e-9;

/// What is searched: joint draws, the steps of jug and reading (m3, m), the accepted risk.
pub(super) struct Search<'a> {
    pub cases: &'a [Case],
    pub jug_step: f64,
    pub reading_step: f64,
    pub risk: f64,
}

/// One draw as the search sees it.
#[derive(Debug, Clone, Copy)]
struct Drawn {
    bin: i64,
    /// The most steps that do not end over MAX.
    most: i64,
    /// Rise in fraction for one step added, and fall for one taken out.
    rise: f64,
    fall: f64,
}

/// Bins and corrections that are told apart.
#[derive(Debug, Clone, Copy)]
struct Grid {
    width: f64,
    first: i64,
    last: i64,
    lowest: i64,
    stride: i64,
    actions: usize,
}

impl Case {
    fn drawn(&self, jug_step: f64, width: f64) -> Drawn {
        let fraction = |gain: f64| gain * jug_step / self.span;
        let gain = if self.room < 0.0 { self.taken } else { self.added };
        let steps = (self.room / (gain.max(1e-6) * jug_step)).clamp(-1e6, 1e6);
        #[allow(clippy::cast_possible_truncation)] // within a million
        let most = (steps + ROUNDING * (1.0 + steps.abs())).floor() as i64;
        Drawn { bin: bin_of(self.reading, width), most, rise: fraction(self.added), fall: fraction(self.taken) }
    }

    /// Fraction of the span at the end of a correction, by volume.
    pub(super) fn fraction(&self, change: f64) -> f64 {
        let gain = if change < 0.0 { self.taken } else { self.added };
        1.0 - (self.room - change * gain) / self.span
    }
}

impl Search<'_> {
    /// The table; `None` when told to stop.
    pub(super) fn policy(&self, stopped: &dyn Fn() -> bool) -> Option<Policy> {
        let grid = self.grid();
        if stopped() {
            return None;
        }
        let drawn: Vec<Drawn> = self.cases.iter().map(|c| c.drawn(self.jug_step, grid.width)).collect();
        if stopped() {
            return None;
        }
        let shaped = grid.counted(shaping(&drawn));
        if stopped() {
            return None;
        }
        let proved = grid.counted(proving(&drawn));
        let proof = Proof::new(&grid, &proved, proving(&drawn), self.risk);
        let table = proof.highest(&shaped, stopped)?;
        Some(self.told(&grid, &table, &proof))
    }

    fn grid(&self) -> Grid {
        let mut readings: Vec<f64> = self.cases.iter().map(|c| c.reading).collect();
        let tail = tail_of(readings.len());
        let (low, high) = between_tails(&mut readings, tail);
        let ends = |width: f64| (bin_of(low, width), bin_of(high, width));
        let (first, last) = ends(self.reading_step);
        let gathered = (last - first) / MOST_BINS + 1;
        let width = self.reading_step * gathered as f64;
        let (first, last) = ends(width);
        let mut most: Vec<f64> = self.cases.iter().map(|c| c.drawn(self.jug_step, width).most as f64).collect();
        let (least, highest) = between_tails(&mut most, 0);
        #[allow(clippy::cast_possible_truncation)] // within a million
        let (least, highest) = (least.min(0.0) as i64, highest.max(0.0) as i64);
        let stride = (highest - least) / MOST_ACTIONS + 1;
        // Doing nothing is always among the corrections.
        let lowest = least.div_euclid(stride) * stride;
        let actions = usize::try_from((highest - lowest) / stride + 1).unwrap_or(1);
        Grid { width, first, last, lowest, stride, actions }
    }

    /// The table as rows, with what the proving draws say of each.
    fn told(&self, grid: &Grid, table: &[i64], proof: &Proof<'_>) -> Policy {
        let mut policy = Policy {
            rows: Vec::new(),
            ends: Vec::new(),
            bin: grid.width,
            over_max: proof.share(table),
            bound: proof.bound,
        };
        // Rounded to a nanometre, in millimetres.
        let at = |bin: i64| (bin as f64 * grid.width * 1e9).round() / 1e6 / 1e3;
        let mut starts: Vec<(i64, i64)> = Vec::new();
        for (bin, steps) in (grid.first..).zip(table) {
            if starts.last().is_none_or(|(_, last)| last != steps) {
                starts.push((bin, *steps));
            }
        }
        let lowest = starts[0].0;
        if at(lowest) > 0.5 * grid.width {
            policy.rows.push(self.row(None, Some(at(lowest - 1)), 0));
            policy.rows[0].advice = Advice::FindOut;
            policy.ends.push(lowest - 1);
        }
        for (i, (bin, steps)) in starts.iter().enumerate() {
            let next = starts.get(i + 1).map(|(next, _)| next - 1);
            policy.rows.push(self.row(Some(at(*bin)), next.map(at), *steps));
            policy.ends.extend(next);
        }
        self.fill_in(&mut policy);
        policy
    }

    fn row(&self, from: Option<f64>, to: Option<f64>, steps: i64) -> PolicyRow {
        let advice = match steps.signum() {
            1 => Advice::Add,
            -1 => Advice::TakeOut,
            _ => Advice::Leave,
        };
        let change = in_steps(self.jug_step, steps as f64);
        let steps = i32::try_from(steps).unwrap_or(0);
        PolicyRow { from, to, advice, steps, change, probability: 0.0, over_max: 0.0, fraction: None }
    }

    /// Probabilities and means of the rows, from the proving draws.
    fn fill_in(&self, policy: &mut Policy) {
        let mut sums = vec![(0_usize, 0_usize, 0.0); policy.rows.len()];
        for case in proving(self.cases) {
            let row = policy.index(case.reading);
            let (steps, change) = (i64::from(policy.rows[row].steps), policy.rows[row].change);
            let (draws, over, fraction) = &mut sums[row];
            *draws += 1;
            *over += usize::from(case.drawn(self.jug_step, policy.bin).most < steps);
            *fraction += case.fraction(change);
        }
        let all = proving(self.cases).count().max(1) as f64;
        for (row, (draws, over, fraction)) in policy.rows.iter_mut().zip(sums) {
            let own = draws.max(1) as f64;
            row.probability = draws as f64 / all;
            row.over_max = over as f64 / own;
            row.fraction = (draws > 0).then_some(fraction / own);
        }
    }
}

/// Draws at either end that are not told apart.
fn tail_of(draws: usize) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a thousandth of a count
    let tail = (TAIL * draws as f64).ceil() as usize;
    tail.min((draws - 1) / 2)
}

/// The lowest and highest value but for `tail` of them at either end.
fn between_tails(values: &mut [f64], tail: usize) -> (f64, f64) {
    let last = values.len() - 1;
    let low = *values.select_nth_unstable_by(tail, f64::total_cmp).1;
    let high = *values.select_nth_unstable_by(last - tail, f64::total_cmp).1;
    (low, high)
}

/// Every second draw, from the first, shapes; the others prove. A single draw does both.
fn shaping<T>(draws: &[T]) -> impl Iterator<Item = &T> {
    draws.iter().step_by(2)
}

fn proving<T>(draws: &[T]) -> impl Iterator<Item = &T> {
    draws.iter().skip(usize::from(draws.len() > 1)).step_by(2)
}

impl Grid {
    fn bins(&self) -> usize {
        usize::try_from(self.last - self.first + 1).unwrap_or(1)
    }

    /// Index of a draw's bin; none for a reading that is too low to be expected. Those above count as the highest.
    fn index(&self, bin: i64) -> Option<usize> {
        usize::try_from(bin.min(self.last) - self.first).ok()
    }

    fn counted<'a>(&self, drawn: impl Iterator<Item = &'a Drawn>) -> Counted {
        let empty = Bin { over: vec![0; self.actions], ..Bin::default() };
        let mut bins = vec![empty; self.bins()];
        for d in drawn {
            let Some(bin) = self.index(d.bin) else { continue };
            let bin = &mut bins[bin];
            bin.draws += 1;
            bin.rise += d.rise;
            bin.fall += d.fall;
            // The first correction that ends over MAX; counts are summed up below.
            let first = usize::try_from((d.most - self.lowest).div_euclid(self.stride) + 1).unwrap_or(0);
            if first < self.actions {
                bin.over[first] += 1;
            }
        }
        for bin in &mut bins {
            let mut sum = 0;
            for over in &mut bin.over {
                sum += *over;
                *over = sum;
            }
        }
        Counted { lowest: self.lowest, stride: self.stride, actions: self.actions, bins }
    }
}

/// The draws that had no part in shaping a table, and what their share over MAX must keep.
struct Proof<'a> {
    counted: &'a Counted,
    draws: usize,
    /// Draws whose reading is too low to be expected, and that are over MAX as they are.
    unexpected_over: u64,
    bound: f64,
}

impl<'a> Proof<'a> {
    fn new<'d>(grid: &Grid, counted: &'a Counted, drawn: impl Iterator<Item = &'d Drawn>, risk: f64) -> Self {
        let (mut draws, mut unexpected_over) = (0, 0);
        for d in drawn {
            draws += 1;
            unexpected_over += u64::from(grid.index(d.bin).is_none() && d.most < 0);
        }
        let standard_error = (risk * (1.0 - risk) / draws.max(1) as f64).sqrt();
        let bound = (risk - STANDARD_ERRORS * standard_error).max(0.5 * risk);
        Self { counted, draws, unexpected_over, bound }
    }

    /// Share over MAX of a table in jug steps.
    fn share(&self, table: &[i64]) -> f64 {
        let action = |steps: &i64| usize::try_from((steps - self.counted.lowest) / self.counted.stride).unwrap_or(0);
        let table: Vec<usize> = table.iter().map(action).collect();
        self.share_of(&table)
    }

    fn share_of(&self, table: &[usize]) -> f64 {
        (self.counted.over(table) + self.unexpected_over) as f64 / self.draws.max(1) as f64
    }

    /// The highest of the shaped tables that keeps the bound, in jug steps; `None` when told to stop.
    fn highest(&self, shaping: &Counted, stopped: &dyn Fn() -> bool) -> Option<Vec<i64>> {
        let unit = shaping.bins.iter().map(|b| b.rise).sum::<f64>()
            / shaping.bins.iter().map(|b| f64::from(b.draws)).sum::<f64>().max(1.0);
        // Powers of two of the price, in units of one draw's rise for one step.
        let (mut cheap, mut dear) = (-20.0, 40.0);
        let mut table = shaping.best(unit * f64::exp2(dear));
        while self.share_of(&table) > self.bound && table.iter().any(|a| *a > 0) {
            table.iter_mut().for_each(|action| *action = action.saturating_sub(1));
        }
        for _ in 0..40 {
            if stopped() {
                return None;
            }
            let middle = f64::midpoint(cheap, dear);
            let tried = shaping.best(unit * f64::exp2(middle));
            if self.share_of(&tried) <= self.bound {
                (dear, table) = (middle, tried);
            } else {
                cheap = middle;
            }
        }
        Some(table.into_iter().map(|action| shaping.steps(action)).collect())
    }
}
