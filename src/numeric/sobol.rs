//! Sobol' points with Owen's scrambling.
//!
//! Points come in the order of the Gray code (Antonov and Saleev 1979), from the direction numbers of Joe and Kuo (2008).
//! Scrambling is Owen's nested uniform scrambling (A. B. Owen, Monte Carlo and quasi-Monte Carlo methods in scientific
//! computing, Springer 1995, 299-317): each digit of a coordinate is flipped or not by a coin that belongs to the digits before
//! it. The coins are hashes, so point `i` of a stream is the same whoever asks for it.

use std::sync::OnceLock;

use super::streams;

/// Highest number of coordinates of a point.
pub const MOST_DIMENSIONS: usize = 512;
/// Binary digits of a point before it is scrambled; a sequence repeats after as many points.
const DIGITS: u32 = 32;
/// Random digits that scrambling adds behind those, so that a coordinate is as fine as a pseudo-random number.
const TAIL: u32 = 20;

type Directions = [u32; DIGITS as usize];

/// Direction numbers of every dimension.
fn directions() -> &'static [Directions] {
    static TABLE: OnceLock<Vec<Directions>> = OnceLock::new();
    TABLE.get_or_init(|| {
        let first = std::array::from_fn(|k| 1 << (DIGITS as usize - 1 - k)); // van der Corput
        let lines = include_str!("joe_kuo.txt").lines().filter(|line| !line.starts_with('#'));
        let rest = lines.map(|line| {
            let mut numbers = line.split(' ').filter_map(|n| n.parse::<u32>().ok());
            let polynomial = numbers.next().unwrap_or(1);
            let initial: Vec<u32> = numbers.collect();
            expand(polynomial, &initial)
        });
        std::iter::once(first).chain(rest).collect()
    })
}

/// Every direction number from the first few, by the recurrence of the polynomial (Bratley and Fox 1988, ACM Transactions on
/// Mathematical Software 14:88): `m_k = 2 a_1 m_(k-1) ^ 4 a_2 m_(k-2) ^ ... ^ 2^s m_(k-s) ^ m_(k-s)`, scaled to 32 digits.
fn expand(polynomial: u32, initial: &[u32]) -> Directions {
    let degree = initial.len();
    let mut m = [0_u32; DIGITS as usize];
    m[..degree].copy_from_slice(initial);
    for k in degree..m.len() {
        m[k] = m[k - degree];
        for i in 1..=degree {
            if polynomial >> (degree - i) & 1 == 1 {
                m[k] ^= m[k - i] << i;
            }
        }
    }
    std::array::from_fn(|k| m[k] << (DIGITS as usize - 1 - k))
}

/// Fills `out` with coordinate `dimension` (below [`MOST_DIMENSIONS`]) of points `first..` without scrambling: multiples of
/// 2^-32 from 0, of which 0 itself is the first. A dimension beyond the table repeats its last.
///
/// ```
/// let mut first = [0.0; 4];
/// fillmark::numeric::sobol::fill(0, 0, &mut first);
/// assert_eq!(first, [0.0, 0.5, 0.75, 0.25]);
/// ```
pub fn fill(dimension: usize, first: u32, out: &mut [f64]) {
    each(dimension, first, out, |digits| f64::from(digits) / 2f64.powi(32));
}

/// As [`fill`], scrambled by a key, each strictly between 0 and 1. Keys make independent scrambles; every coordinate of a
/// point needs its own.
pub fn fill_scrambled(dimension: usize, key: u64, first: u32, out: &mut [f64]) {
    each(dimension, first, out, |digits| {
        let tail = mix(key ^ (u64::from(digits) << 16)) >> (64 - TAIL);
        streams::open_unit((u64::from(scrambled(digits, key)) << TAIL | tail) << (64 - DIGITS - TAIL))
    });
}

fn each(dimension: usize, first: u32, out: &mut [f64], number: impl Fn(u32) -> f64) {
    let v = &directions()[dimension.min(MOST_DIMENSIONS - 1)];
    let gray = first ^ (first >> 1);
    let mut digits = (0..DIGITS).filter(|k| gray >> k & 1 == 1).fold(0, |x, k| x ^ v[k as usize]);
    let mut at = first;
    for slot in out {
        *slot = number(digits);
        at = at.wrapping_add(1);
        digits ^= v[at.trailing_zeros().min(DIGITS - 1) as usize];
    }
}

/// The digits with each flipped by the coin of the digits before it.
fn scrambled(digits: u32, key: u64) -> u32 {
    (0..DIGITS).fold(digits, |flipped, k| {
        // The node of the binary tree that the k digits before this one lead to; its number is theirs with a leading 1.
        let node = 1_u64 << k | u64::from(digits) >> (DIGITS - k);
        #[allow(clippy::cast_possible_truncation)] // one digit
        let coin = (mix(key.wrapping_add(node.wrapping_mul(0x9e37_79b9_7f4a_7c15))) >> 63) as u32;
        flipped ^ coin << (DIGITS - 1 - k)
    })
}

/// The finaliser of SplitMix64 (Steele, Lea and Flood 2014, variant 13 of Stafford).
fn mix(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_is_there() {
        assert_eq!(directions().len(), MOST_DIMENSIONS);
    }

    /// `scipy.stats.qmc.Sobol(512, scramble=False)` of scipy 1.17.1: points 1 to 5 of some dimensions, and point 1000 of those.
    #[test]
    fn as_scipy() {
        for (dimension, expected) in CASES {
            let mut found = [0.0; 6];
            fill(dimension, 1, &mut found[..5]);
            fill(dimension, 1000, &mut found[5..]);
            assert_eq!(found, expected, "dimension {dimension}");
        }
    }

    /// Every digit of 4096 points in all 512 dimensions: the weighted sum of `scipy.stats.qmc.Sobol(512, scramble=False,
    /// bits=32).random(4096) * 2**32`, modulo 2^64, was computed with NumPy.
    #[test]
    fn every_point_is_scipy_s() {
        let mut sum = 0_u64;
        for dimension in 0..512 {
            let mut points = vec![0.0; 4096];
            fill(dimension, 0, &mut points);
            for (i, x) in points.iter().enumerate() {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // an integer below 2^32
                let digits = (x * 2f64.powi(32)) as u64;
                let weight = (512 * i as u64 + dimension as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
                sum = sum.wrapping_add(digits.wrapping_mul(weight));
            }
        }
        assert_eq!(sum, 10_684_215_621_110_988_800);
    }

    #[test]
    fn a_point_does_not_depend_on_where_the_chunk_starts() {
        let mut whole = [0.0; 100];
        fill_scrambled(3, 7, 0, &mut whole);
        let mut part = [0.0; 37];
        fill_scrambled(3, 7, 41, &mut part);
        assert_eq!(whole[41..78], part);
    }

    /// Scrambling keeps the net (Owen 1995, Proposition 1): each of 2^k equal cells holds one of the first 2^k points, in one
    /// dimension, and each elementary rectangle of the first two dimensions, which form a (0, 2)-sequence.
    #[test]
    fn scrambled_points_stay_a_net() {
        for key in [1, 99, u64::MAX] {
            let (mut x, mut y) = ([0.0; 256], [0.0; 256]);
            fill_scrambled(0, key, 0, &mut x);
            fill_scrambled(1, key ^ 0xab_cdef, 0, &mut y);
            for columns in [1_usize, 2, 4, 8, 16, 32, 64, 128, 256] {
                let rows = 256 / columns;
                let mut cells = vec![0; 256];
                for (x, y) in x.iter().zip(&y) {
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // in the unit interval
                    let (i, j) = ((x * columns as f64) as usize, (y * rows as f64) as usize);
                    cells[i * rows + j] += 1;
                }
                assert!(cells.iter().all(|n| *n == 1), "{columns} columns");
            }
        }
    }

    /// Owen's scrambling leaves each point uniform over keys: mean 1/2, variance 1/12, and neighbours uncorrelated.
    #[test]
    fn over_keys_each_point_is_uniform() {
        let n = 20_000;
        let points: Vec<[f64; 2]> = (0..n)
            .map(|key| {
                let mut u = [0.0; 2];
                fill_scrambled(5, mix(key), 6, &mut u);
                u
            })
            .collect();
        let count = n as f64;
        for i in 0..2 {
            let mean = points.iter().map(|u| u[i]).sum::<f64>() / count;
            let variance = points.iter().map(|u| (u[i] - 0.5).powi(2)).sum::<f64>() / count;
            // Standard errors 1/sqrt(12 n) and 1/sqrt(180 n); four of each.
            assert!((mean - 0.5).abs() < 4.0 / (12.0 * count).sqrt(), "{mean}");
            assert!((variance - 1.0 / 12.0).abs() < 4.0 / (180.0 * count).sqrt(), "{variance}");
        }
        assert!(points.iter().flatten().all(|u| 0.0 < *u && *u < 1.0));
    }

    /// The integral of a smooth function by scrambled points converges as n^(-3/2) (Owen 1997): from 2^8 to 2^12 points
    /// the error must fall by far more than the factor 4 of pseudo-random numbers.
    #[test]
    fn scrambling_gains_on_pseudo_random_numbers() {
        let error = |n: usize| {
            let squares: f64 = (0..20)
                .map(|key| {
                    let (mut x, mut y) = (vec![0.0; n], vec![0.0; n]);
                    fill_scrambled(0, mix(2 * key), 0, &mut x);
                    fill_scrambled(1, mix(2 * key + 1), 0, &mut y);
                    let mean = x.iter().zip(&y).map(|(x, y)| (x + y).exp()).sum::<f64>() / n as f64;
                    (mean - (1f64.exp() - 1.0).powi(2)).powi(2)
                })
                .sum();
            (squares / 20.0).sqrt()
        };
        let (coarse, fine) = (error(1 << 8), error(1 << 12));
        assert!(coarse / fine > 20.0, "{coarse} {fine}");
    }

    const CASES: [(usize, [f64; 6]); 7] = [
        (0, [0.5, 0.75, 0.25, 0.375, 0.875, 0.2197265625]),
        (1, [0.5, 0.25, 0.75, 0.375, 0.875, 0.0966796875]),
        (2, [0.5, 0.25, 0.75, 0.625, 0.125, 0.5185546875]),
        (7, [0.5, 0.75, 0.25, 0.875, 0.375, 0.8994140625]),
        (40, [0.5, 0.25, 0.75, 0.875, 0.375, 0.9130859375]),
        (255, [0.5, 0.75, 0.25, 0.375, 0.875, 0.2490234375]),
        (511, [0.5, 0.75, 0.25, 0.375, 0.875, 0.3955078125]),
    ];
}
