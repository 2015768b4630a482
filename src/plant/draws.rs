//! Points of the unit cube: low-discrepancy ones with independent scrambles, and plain pseudo-random ones.
//!
//! What enters: the number of a point, of a dimension and of a scramble. What leaves: numbers between zero and one, neither
//! reached. It does not know what they stand for.
//!
//! Sources: Owen-scrambled Sobol points after Burley, Journal of Computer Graphics Techniques 9 (2020) 4; the plain ones
//! by the mixing function of Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014.

use sobol_burley::sample_4d;

/// Points of one scramble, the most that the sequence has.
pub const MOST_POINTS: usize = 1 << 16;
/// Dimensions of the sequence; beyond them another scramble stands in.
const DIMENSIONS: usize = 256;
/// Half the distance of two neighbouring numbers.
const HALF_STEP: f64 = 1.0 / 33_554_432.0;

/// Fills `point` with the coordinates of a scrambled point.
pub fn scrambled(number: usize, scramble: u32, point: &mut [f64]) {
    let number = u32::try_from(number % MOST_POINTS).unwrap_or(0);
    for (set, four) in point.chunks_mut(4).enumerate() {
        let (lap, set) = (set / (DIMENSIONS / 4), set % (DIMENSIONS / 4));
        let seed = scramble.wrapping_add(u32::try_from(lap).unwrap_or(0).wrapping_mul(0x9e37_79b9));
        let values = sample_4d(number, u32::try_from(set).unwrap_or(0), seed);
        for (coordinate, value) in four.iter_mut().zip(values) {
            *coordinate = f64::from(value) + HALF_STEP;
        }
    }
}

/// Fills `point` with pseudo-random coordinates, independent from point to point.
pub fn plain(number: usize, seed: u64, point: &mut [f64]) {
    const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;
    let start = mixed(seed ^ mixed((number as u64).wrapping_mul(GOLDEN)));
    for (at, coordinate) in point.iter_mut().enumerate() {
        let bits = mixed(start.wrapping_add((at as u64 + 1).wrapping_mul(GOLDEN)));
        *coordinate = ((bits >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0;
    }
}

fn mixed(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_lie_inside_and_fill_every_dimension_evenly() {
        let dimensions = 300;
        let mut point = vec![0.0; dimensions];
        for (kind, tolerance) in [(0, 2e-3), (1, 4e-2)] {
            let mut sums = vec![0.0; dimensions];
            for number in 0..1024 {
                if kind == 0 {
                    scrambled(number, 7, &mut point);
                } else {
                    plain(number, 7, &mut point);
                }
                for (sum, value) in sums.iter_mut().zip(&point) {
                    assert!(0.0 < *value && *value < 1.0);
                    *sum += value / 1024.0;
                }
            }
            assert!(sums.iter().all(|mean| (mean - 0.5).abs() < tolerance), "{kind}");
        }
    }

    #[test]
    fn scrambles_and_dimensions_beyond_the_sequence_differ() {
        let (mut one, mut other) = (vec![0.0; 300], vec![0.0; 300]);
        scrambled(5, 1, &mut one);
        scrambled(5, 2, &mut other);
        assert!(one.iter().zip(&other).all(|(a, b)| a != b));
        assert!(one[0] != one[256]);
    }
}
