//! Streams of uniform numbers keyed by seed and name: draw `i` of a stream is the same number whoever asks for it.
//!
//! The generator is ChaCha with 8 rounds (Bernstein 2008), whose blocks are addressed by a counter; the stream of an input
//! path is keyed by the 64-bit FNV-1a hash of the path. Thread count and chunk size therefore cannot change a result.

use super::wide::widely;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Words of 32 bits that one draw takes.
const WORDS_PER_DRAW: u128 = 2;

/// Fills `out` with draws `first..` of the stream, each strictly between 0 and 1.
pub fn fill(seed: u64, name: &str, first: u64, out: &mut [f64]) {
    const SOME: usize = 64;
    let mut rng = stream(seed, name, 0);
    rng.set_word_pos(u128::from(first) * WORDS_PER_DRAW);
    let mut bytes = [[0; 8]; SOME];
    for out in out.chunks_mut(SOME) {
        let bytes = &mut bytes[..out.len()];
        rng.fill_bytes(bytes.as_flattened_mut());
        widely(
            #[inline(always)]
            || out.iter_mut().zip(&*bytes).for_each(|(u, bytes)| *u = open_unit(u64::from_le_bytes(*bytes))),
        );
    }
}

/// A key for the scramble `replicate` of the Sobol' coordinate of this name: a number of a stream of its own.
pub fn key(seed: u64, name: &str, replicate: u64) -> u64 {
    stream(seed, name, replicate.wrapping_add(1)).next_u64()
}

fn stream(seed: u64, name: &str, replicate: u64) -> ChaCha8Rng {
    let mut key = [0_u8; 32];
    key[..8].copy_from_slice(&seed.to_le_bytes());
    key[8..16].copy_from_slice(&fnv1a(name).to_le_bytes());
    key[16..24].copy_from_slice(&replicate.to_le_bytes());
    ChaCha8Rng::from_seed(key)
}

/// The midpoint of one of 2^52 equal cells of the unit interval, so that 0 and 1 never occur.
#[inline(always)]
#[allow(clippy::inline_always)] // so that it is compiled for the widest instructions
pub(super) fn open_unit(bits: u64) -> f64 {
    const CELL: f64 = 1.0 / (1_u64 << 52) as f64;
    ((bits >> 12) as f64 + 0.5) * CELL
}

/// FNV-1a, 64 bits.
fn fnv1a(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_draw_does_not_depend_on_where_the_chunk_starts() {
        let mut whole = [0.0; 100];
        fill(7, "filter.net_volume", 0, &mut whole);
        let mut part = [0.0; 37];
        fill(7, "filter.net_volume", 41, &mut part);
        assert_eq!(whole[41..78], part);
    }

    #[test]
    fn names_and_seeds_give_other_streams() {
        let draw = |seed, name| {
            let mut u = [0.0];
            fill(seed, name, 0, &mut u);
            u[0]
        };
        assert_ne!(draw(1, "a"), draw(1, "b"));
        assert_ne!(draw(1, "a"), draw(2, "a"));
    }

    #[test]
    fn uniform_mean_and_variance() {
        let mut u = vec![0.0; 100_000];
        fill(3, "x", 0, &mut u);
        let mean = u.iter().sum::<f64>() / 1e5;
        let variance = u.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 1e5;
        // Standard errors 1/sqrt(12 n) = 9.1e-4 and 1/sqrt(180 n) = 2.4e-4; four of each.
        assert!((mean - 0.5).abs() < 3.7e-3 && (variance - 1.0 / 12.0).abs() < 1e-3);
    }

    /// Test vector of FNV-1a 64: the empty string and "a" (published with the algorithm).
    #[test]
    fn fnv1a_vectors() {
        assert_eq!(fnv1a(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a("a"), 0xaf63_dc4c_8601_ec8c);
    }
}
