//! Arguments in, progress on stderr, results on stdout or in a file, exit code out.
//!
//! Exit codes: 0 every case has a mix; 1 some case has none or stayed unsettled; 2 the statement or the
//! arguments are wrong; 3 the world failed (file, solver); 130 interrupted.

mod aids;
mod checked;
mod ending;
mod opened;
mod typed;
mod arguments;
mod batch;
mod chosen;
mod batch_sheet;
mod export;
mod form;
mod front;
mod trial_files;
mod fit_region;
mod fit_asked;
mod fit;
mod plan;
mod calibrate;
mod guide;
mod leaf;
mod limits;
mod outside;
mod page;
mod page_arguments;
mod page_curves;
mod plant;
mod predict;
mod priced;
mod risk;
mod robust;
mod round;
mod run;
mod solve;
mod study_arguments;
mod sweep;
mod sweep_files;
mod sweeps;

pub use arguments::Arguments;
pub use checked::checked;
pub use guide::CHAPTERS;
pub use outside::Folder;
pub use run::run;
