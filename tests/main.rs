//! One test binary, linked once. What belongs where:

#![allow(clippy::unwrap_used, reason = "a test that cannot go on says where it stopped")]

mod program; // runs the program as its users do
mod kept; // what a test compares with a kept file, and rewrites under `scripts/bless`
mod architecture; // the house itself: arrows, one home per crate, file lengths, top-level entries
mod circles; // no circles among the files of a room, through super, self and re-exports too
mod problems; // every statement in `problems/` solves and equals `expected/`; none missing, none orphaned
mod one_mistake; // one mistake is told once, with a way out; what only repeats another is not told
mod rejected; // every statement in `rejected/` fails with exactly the text beside it; none orphaned
mod cases; // statements that went wrong once, each with what must come of it
mod lost_files; // no file is lost: inputs, links, permissions, two writers, resumed sweeps
mod readme; // the README shows what the program prints and lists every problem and command
mod stopping; // time limits and signals while something is read, checked or solved
mod hostile; // input made to break a reader, places that cannot be written
mod fuzz; // statements mutated without end: no panic
mod batch; // several statements at once: order, exit code, folder, threads
mod office; // a night of an office: changes since an earlier run, tables, price lists everywhere
mod workbooks; // workbooks read back by a library that did not write them
mod command_line; // exit codes, standard output and standard error, closed pipes, output files
mod properties; // what holds for every statement: generated shelves, and the pieces of all kept problems
mod handbook; // published check values, one table per source
mod laws; // what holds for every law: cards, gradients, bounds
mod laws_in_mixes; // responses by built-in laws: what they bring about in a mix, and how limits on them are stated
mod margins; // overdesign rules as margins: figures of the standards, and limits that move
mod open_data; // strength laws against published results
mod batch_sheet; // batch sheets: weights, water, loads, yields, orders that cannot be carried out
mod risk; // risks of mixes as really weighed: closed forms, margins, conformity, contributions
mod shared_plant; // several mixes on one plant: enumeration, stock, plants that cannot be
mod plant_commands; // sheets, risks, steps and plants at the command line, on what cannot be
mod rounding; // mixes in whole steps: enumeration, proven ends, steps that are too coarse
mod predict; // given mixes: predicted, judged, beside measured values, against what is found
mod cracking_limits; // ages at cracking in statements: rows, outcomes, what they refuse
mod curing; // internal curing: demand, supply, and how much aggregate would just be enough
mod unheeded; // materials that a limited prediction takes no account of are told
mod restraint; // stress and cracking under restraint, step by step
mod restraint_statements; // overlays, rings, onset, growth and temperature as an author describes them
mod words; // what reports say in words and digits
mod units; // the same mix told in SI and in US customary units
mod cross_check; // problems whose answers others published: linear, mixed-integer, nonlinear
mod certainty; // what "proven" rests on: multipliers, relaxations, prices, conflicts, threads
mod exports; // what is written for other solvers says what the problem says
mod limits; // limits on the combined grading, on declared contents, and from named sets
mod demands; // what classes demand and nobody checks, in every form of the report
mod trade; // sets of the trade for what tests show
mod include; // included files: what lies over what, and what is refused
mod us_practice; // relative densities, liquids by volume, fineness modulus, bulk volume, ratios as names
mod schemas; // what every command writes as JSON fits its published schema; the schemas are kept files
mod aids; // schema, starter statement, completions and manual page
mod fronts; // the generator of fronts against published two-goal problems
mod confidence; // margins by a confidence: Student, what they hold for, growing scatter
mod trial_loop; // trials from files to files: fit, plan, fill in, confirm; what is refused
mod trial_rounds; // several ages, files and rounds of trials: what one round writes, the next reads
mod trial_laws; // laws corrected by own results: level, slope, exact rows
mod trial_mixes; // trials written as mixes, and rings whose ages at cracking correct strains
mod trial_fits; // fits of trials read from files: open data, invented trials, what is refused
mod regressions; // least squares against certified and published results
mod names; // names are for people: hostile ones are refused or change no number
mod use_shares; // shares of named quantities that hold only if a material is used, against enumeration
mod steps; // amounts in steps: whole numbers inside the optimisation, against enumeration
mod sweeps; // many cases of one statement: values, scenarios, results files, shards; fronts of statements
mod page; // the page without a browser: fronts and sweeps in it, what it refuses; `scripts/check-page` opens it in one
