//! The highest point of a function with one top.
//!
//! What enters: a range, how often it is narrowed, and the function. What leaves: the best point tried, with its value.

/// The highest point of a function with one top in a range, narrowed by golden sections so many times, and its value.
pub fn highest((mut low, mut high): (f64, f64), steps: usize, function: impl Fn(f64) -> f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let (mut left, mut right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_left, mut at_right) = (function(left), function(right));
    for _ in 0..steps {
        if at_right < at_left {
            (high, right, at_right) = (right, left, at_left);
            left = high - GOLDEN * (high - low);
            at_left = function(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + GOLDEN * (high - low);
            at_right = function(right);
        }
    }
    if at_left < at_right { (right, at_right) } else { (left, at_left) }
}
