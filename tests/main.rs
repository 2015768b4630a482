//! One test binary; each file says what belongs in it.

mod handbook; // published check values, one table per source
mod laws; // what holds for every law: cards, gradients, bounds
mod open_data; // strength laws against published results
mod restraint; // stress and cracking under restraint, step by step
mod units; // the same mix told in SI and in US customary units
mod cross_check; // problems whose answers others published: linear, mixed-integer, nonlinear
mod limits; // limits on the combined grading, on declared contents, and from named sets
mod include; // included files: what lies over what, and what is refused
mod aids; // schema, starter statement, completions and manual page
