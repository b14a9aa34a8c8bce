//! The best table for a price on ending over MAX, by dynamic programming over bins of the reading.

/// Draws of one half, counted by bin of the reading and by the most steps that keep them from ending over MAX.
#[derive(Debug, Clone)]
pub(super) struct Counted {
    /// Lowest correction considered.
    pub lowest: i64,
    /// Distance of the corrections considered, in jug steps.
    pub stride: i64,
    /// Number of corrections considered.
    pub actions: usize,
    pub bins: Vec<Bin>,
}

/// One bin.
#[derive(Debug, Clone, Default)]
pub(super) struct Bin {
    pub draws: u32,
    /// By correction: how many end over MAX.
    pub over: Vec<u32>,
    /// Sums over the draws of the rise in fraction for one step, added or taken out.
    pub rise: f64,
    pub fall: f64,
}

impl Counted {
    /// The correction of an index, in jug steps.
    pub fn steps(&self, action: usize) -> i64 {
        self.lowest + self.stride * i64::try_from(action).unwrap_or(i64::MAX)
    }

    /// How much higher the draws of a bin end, summed, for a correction.
    fn gain(&self, bin: &Bin, action: usize) -> f64 {
        let steps = self.steps(action) as f64;
        steps * if steps < 0.0 { bin.fall } else { bin.rise }
    }

    /// How many draws of all bins end over MAX, bin by bin with this correction.
    pub fn over(&self, table: &[usize]) -> u64 {
        self.bins.iter().zip(table).map(|(bin, action)| u64::from(bin.over[*action])).sum()
    }

    /// The table whose sum of `gain − price · over` is the highest, of those that do not rise with the reading and nowhere
    /// let more than half of a bin end over MAX; of equals the lower correction.
    pub fn best(&self, price: f64) -> Vec<usize> {
        let mut best_from = vec![0.0; self.actions];
        let mut chosen = vec![vec![0_u32; self.actions]; self.bins.len()];
        // From the highest reading down: whatever is added there is the least that may be added below.
        for (bin, choice) in self.bins.iter().zip(&mut chosen).rev() {
            let (mut best, mut at) = (f64::NEG_INFINITY, 0);
            for action in 0..self.actions {
                // The best of the readings above with at most this correction.
                if best_from[action] > best {
                    (best, at) = (best_from[action], action);
                }
                choice[action] = u32::try_from(at).unwrap_or(0);
                best_from[action] = best + self.worth(bin, action, price);
            }
        }
        let mut action = argmax(&best_from);
        let mut table = Vec::with_capacity(self.bins.len());
        for choice in &chosen {
            table.push(action);
            action = choice[action] as usize;
        }
        table
    }

    fn worth(&self, bin: &Bin, action: usize, price: f64) -> f64 {
        if 2 * bin.over[action] > bin.draws {
            return f64::NEG_INFINITY;
        }
        self.gain(bin, action) - price * f64::from(bin.over[action])
    }
}

/// Index of the first of the highest values.
fn argmax(values: &[f64]) -> usize {
    let mut best = 0;
    for (i, value) in values.iter().enumerate() {
        if *value > values[best] {
            best = i;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three bins and five corrections from -2 to 2 steps.
    fn counted() -> Counted {
        let bin = |over: [u32; 5]| Bin { draws: 40, over: over.to_vec(), rise: 40.0, fall: 40.0 };
        let bins = vec![bin([0, 0, 1, 2, 12]), bin([0, 0, 2, 9, 33]), bin([0, 4, 17, 30, 40])];
        Counted { lowest: -2, stride: 1, actions: 5, bins }
    }

    fn total(c: &Counted, table: &[usize]) -> f64 {
        c.bins.iter().zip(table).map(|(bin, action)| c.gain(bin, *action)).sum()
    }

    /// Every table of the class.
    fn every(c: &Counted) -> Vec<[usize; 3]> {
        let n = c.actions;
        let all = (0..n * n * n).map(|i| [i / (n * n), i / n % n, i % n]);
        let allowed = |t: &[usize; 3]| t.iter().zip(&c.bins).all(|(a, bin)| 2 * bin.over[*a] <= bin.draws);
        all.filter(|t| t[0] >= t[1] && t[1] >= t[2] && allowed(t)).collect()
    }

    /// Against exhaustion: the table found is the best for its price, and no table with as few draws over MAX stands higher.
    #[test]
    fn no_table_with_as_few_over_max_stands_higher() {
        let c = counted();
        let mut found = Vec::new();
        for price in [0.0, 0.5, 2.0, 4.0, 5.0, 8.0, 13.0, 39.0, 1e9] {
            let table = c.best(price);
            assert!(every(&c).iter().any(|t| t[..] == table[..]), "{table:?}");
            let worth = |t: &[usize]| total(&c, t) - price * c.over(t) as f64;
            assert!(every(&c).iter().all(|t| worth(t) <= worth(&table) + 1e-9), "{price}: {table:?}");
            let as_few = every(&c).into_iter().filter(|t| c.over(t) <= c.over(&table));
            assert!(as_few.into_iter().all(|t| total(&c, &t) <= total(&c, &table) + 1e-9));
            found.push(c.over(&table));
        }
        assert!(found.is_sorted_by(|a, b| a >= b) && found.first() > found.last());
        assert_eq!(c.best(1e9), [1, 1, 0]);
    }

    #[test]
    fn without_a_price_half_of_each_bin_is_the_limit() {
        let c = counted();
        // 12 and 9 of 40 are within half, 33 is not; 17 of 40 is, 30 is not.
        assert_eq!(c.best(0.0), [4, 3, 2]);
    }
}
