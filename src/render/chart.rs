//! Charts as SVG text.
//!
//! What enters: titles, names and plain numbers. What leaves: one `svg` element each, which stands in a page or, by
//! [`standalone`], in a file of its own. Series differ by marker and dash, bars by filling, so that nothing is lost in
//! black and white; the ink is `currentColor`, and classes let a page add colour. Every text is escaped here. A chart
//! knows nothing of concrete, mixes or statements.

mod bars;
mod drawing;
mod gauge;
mod marker;
mod plot;
mod scale;

pub use bars::{Bar, Bars, bars};
pub use drawing::standalone;
pub use gauge::{gauge, position};
pub use marker::{Dash, Filling, Marker};
pub use plot::{Around, Axis, Plot, Point, Series, Vertical, plot};
pub use scale::Spread;
