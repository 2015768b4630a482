//! Points and lines over two axes, with a legend below.

use std::fmt::Write;

use super::drawing::{Anchor, LETTER, Role, WIDTH, escaped, fitted, framed, line, text, width_of};
use super::marker::{Dash, Marker};
use super::scale::{Scale, Spread};

/// One axis.
#[derive(Clone, Debug)]
pub struct Axis {
    /// What it measures, with the unit.
    pub title: String,
    /// Numbers it must hold besides those of the points, such as zero.
    pub holds: Vec<f64>,
    /// How numbers are spread over it.
    pub spread: Spread,
    /// Names in place of numbers: the first stands at 0, the next at 1, and so on. Empty where it measures.
    pub names: Vec<String>,
}

impl Axis {
    /// An axis that measures.
    pub fn linear(title: String) -> Self {
        Self { title, holds: Vec::new(), spread: Spread::Linear, names: Vec::new() }
    }

    /// An axis with a place for each name.
    pub fn named(title: String, names: Vec<String>) -> Self {
        Self { names, ..Self::linear(title) }
    }
}

/// One point.
#[derive(Clone, Debug)]
pub struct Point {
    /// Across.
    pub x: f64,
    /// Up.
    pub y: f64,
    /// What is said of it when it is pointed at.
    pub words: String,
    /// Its number, if it can be pressed: the page's script knows the rest.
    pub number: Option<usize>,
    /// What stands around its marker.
    pub around: Around,
}

impl Point {
    /// A point of which nothing is said.
    pub fn bare(x: f64, y: f64) -> Self {
        Self { x, y, words: String::new(), number: None, around: Around::Nothing }
    }
}

/// What stands around a marker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Around {
    /// Nothing.
    Nothing,
    /// A ring: something changes here.
    Ring,
}

/// One series. Points that are no finite numbers are left out.
#[derive(Clone, Debug)]
pub struct Series {
    /// Its name in the legend; without a name it is not in the legend.
    pub name: String,
    /// Its points.
    pub points: Vec<Point>,
    /// The line through them.
    pub dash: Option<Dash>,
    /// Their marker.
    pub marker: Option<Marker>,
}

/// A line across the whole height at a place worth knowing.
#[derive(Clone, Debug)]
pub struct Vertical {
    /// Across.
    pub x: f64,
    /// What is there.
    pub words: String,
}

/// A chart over two axes.
#[derive(Clone, Debug)]
pub struct Plot {
    /// Id within a page, and the name of a file: letters, digits and hyphens.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it shows, in a sentence.
    pub description: String,
    /// The axis across.
    pub across: Axis,
    /// The axis up.
    pub up: Axis,
    /// The series.
    pub series: Vec<Series>,
    /// Places worth knowing.
    pub verticals: Vec<Vertical>,
}

const TOP: f64 = 26.0;
const BOTTOM: f64 = 310.0;
const ROW: f64 = 20.0;

/// Draws the plot.
pub fn plot(chart: &Plot) -> String {
    let points = || {
        chart
            .series
            .iter()
            .flat_map(|series| &series.points)
            .filter(|point| point.x.is_finite() && point.y.is_finite())
    };
    let up = Scale::spread(
        chart.up.spread,
        points().map(|p| p.y).chain(chart.up.holds.iter().copied()),
        BOTTOM,
        TOP,
    );
    let labels = up.ticks().iter().map(|tick| width_of(&up.tick_text(*tick))).fold(0.0, f64::max);
    let left = labels + 34.0;
    let xs = points()
        .map(|p| p.x)
        .chain(chart.across.holds.iter().copied())
        .chain(chart.verticals.iter().map(|vertical| vertical.x));
    let across = if chart.across.names.is_empty() {
        Scale::spread(chart.across.spread, xs, left, WIDTH - 24.0)
    } else {
        Scale::exactly(-0.5, chart.across.names.len() as f64 - 0.5, left, WIDTH - 24.0)
    };
    let right = WIDTH - 24.0;
    let mut out = String::new();
    for tick in up.ticks() {
        let y = up.place(tick);
        line(&mut out, "grid", (left, y), (right, y), " stroke-opacity=\"0.25\"");
        text(&mut out, left - 6.0, y + 0.35 * LETTER, Anchor::End, &up.tick_text(tick));
    }
    let ticks: Vec<(f64, String)> = if chart.across.names.is_empty() {
        across.ticks().into_iter().map(|tick| (tick, across.tick_text(tick))).collect()
    } else {
        chart.across.names.iter().enumerate().map(|(at, name)| (at as f64, name.clone())).collect()
    };
    let room = (right - left) / ticks.len().max(1) as f64 - 8.0;
    for (tick, name) in ticks {
        let x = across.place(tick);
        line(&mut out, "grid", (x, TOP), (x, BOTTOM), " stroke-opacity=\"0.25\"");
        text(&mut out, x, BOTTOM + 17.0, Anchor::Middle, &fitted(&name, room.max(2.0 * LETTER)));
    }
    line(&mut out, "axis", (left, BOTTOM), (right, BOTTOM), "");
    line(&mut out, "axis", (left, TOP), (left, BOTTOM), "");
    text(&mut out, 0.5 * (left + right), BOTTOM + 36.0, Anchor::Middle, &chart.across.title);
    let middle = 0.5 * (TOP + BOTTOM);
    let _ = writeln!(
        out,
        "<text x=\"14\" y=\"{middle}\" text-anchor=\"middle\" transform=\"rotate(-90 14 {middle})\">{}</text>",
        escaped(&fitted(&chart.up.title, BOTTOM - TOP))
    );
    verticals(&mut out, chart, &across, right);
    let mut pressable = Role::Picture;
    for (number, series) in chart.series.iter().enumerate() {
        series_drawn(&mut out, number, series, &across, &up);
        if series.points.iter().any(|point| point.number.is_some()) {
            pressable = Role::Group;
        }
    }
    let height = legend(&mut out, chart, left);
    framed(&chart.id, pressable, &chart.title, &chart.description, height, &out)
}

/// Lines at places worth knowing; their words stand above the plot, the next one lower where two would meet.
fn verticals(out: &mut String, chart: &Plot, across: &Scale, right: f64) {
    let mut free = [f64::NEG_INFINITY; 3];
    for vertical in &chart.verticals {
        let x = across.place(vertical.x);
        line(out, "vertical", (x, TOP - 6.0), (x, BOTTOM), " stroke-dasharray=\"3 3\"");
        let words = fitted(&vertical.words, 0.6 * (right - 40.0));
        let wide = width_of(&words);
        let start = if right < x + 4.0 + wide { x - 4.0 - wide } else { x + 4.0 };
        let row = free.iter().position(|end| *end < start).unwrap_or(free.len() - 1);
        free[row] = start + wide;
        text(out, start, TOP - 8.0 + 16.0 * row as f64, Anchor::Start, &words);
    }
}

fn series_drawn(out: &mut String, number: usize, series: &Series, across: &Scale, up: &Scale) {
    let places: Vec<(f64, f64, &Point)> = series
        .points
        .iter()
        .map(|point| (across.place(point.x), up.place(point.y), point))
        .filter(|(x, y, _)| x.is_finite() && y.is_finite())
        .collect();
    let _ = writeln!(out, "<g class=\"series series-{}\">", number % 4);
    if let Some(dash) = series.dash.filter(|_| 1 < places.len()) {
        let path: Vec<String> = places.iter().map(|(x, y, _)| format!("{x:.1},{y:.1}")).collect();
        let _ = writeln!(
            out,
            "<polyline class=\"curve\" points=\"{}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.8\"{}/>",
            path.join(" "),
            dash.attribute()
        );
    }
    if let Some(marker) = series.marker {
        for (x, y, point) in &places {
            let words = escaped(&point.words);
            let ring = match point.around {
                Around::Nothing => String::new(),
                Around::Ring => format!(
                    "<circle class=\"ring\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8\" fill=\"none\" \
                     stroke=\"currentColor\" stroke-width=\"1\"/>"
                ),
            };
            let shape = marker.shape(*x, *y) + &ring;
            let _ = match point.number {
                // A wide transparent disc: a finger is broader than a marker.
                Some(number) => writeln!(
                    out,
                    "<g class=\"point\" role=\"button\" tabindex=\"0\" aria-pressed=\"false\" aria-label=\"{words}\" \
                     data-point=\"{number}\"><title>{words}</title><circle class=\"near\" cx=\"{x:.1}\" cy=\"{y:.1}\" \
                     r=\"11\" fill=\"none\" pointer-events=\"all\"/>{shape}</g>"
                ),
                None => writeln!(out, "<g class=\"point\"><title>{words}</title>{shape}</g>"),
            };
        }
    }
    out.push_str("</g>\n");
}

/// The legend below the plot; returns the height of the whole.
fn legend(out: &mut String, chart: &Plot, left: f64) -> f64 {
    let mut y = BOTTOM + 58.0;
    let mut x = left;
    let mut rows = 0;
    for (number, series) in chart.series.iter().enumerate().filter(|(_, series)| !series.name.is_empty()) {
        let name = fitted(&series.name, WIDTH - left - 60.0);
        let wide = 36.0 + width_of(&name) + 18.0;
        if left < x && WIDTH < x + wide {
            x = left;
            y += ROW;
        }
        rows = 1;
        let _ = writeln!(out, "<g class=\"series series-{}\">", number % 4);
        if let Some(dash) = series.dash {
            let more = format!(" stroke-width=\"1.8\"{}", dash.attribute());
            line(out, "curve", (x, y - 4.0), (x + 30.0, y - 4.0), &more);
        }
        if let Some(marker) = series.marker {
            out.push_str(&marker.shape(x + 15.0, y - 4.0));
            out.push('\n');
        }
        out.push_str("</g>\n");
        text(out, x + 36.0, y, Anchor::Start, &name);
        x += wide;
    }
    if rows == 0 { BOTTOM + 46.0 } else { y + 10.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart(name: &str) -> Plot {
        let point =
            |x: f64, number| Point { x, y: 2.0 * x, words: name.to_owned(), number, around: Around::Ring };
        Plot {
            id: "front".to_owned(),
            title: name.to_owned(),
            description: name.to_owned(),
            across: Axis::named(name.to_owned(), vec![name.to_owned(); 4]),
            up: Axis::linear(name.to_owned()),
            series: vec![Series {
                name: name.to_owned(),
                points: vec![point(1.0, Some(0)), point(f64::NAN, Some(1)), point(3.0, None)],
                dash: Some(Dash::Dashed),
                marker: Some(Marker::Triangle),
            }],
            verticals: vec![Vertical { x: 2.0, words: name.to_owned() }],
        }
    }

    #[test]
    fn hostile_names_stay_text_and_points_can_be_reached() {
        let svg = plot(&chart("</svg><script>alert(\"1\")</script>{{ x }}"));
        assert!(!svg.contains("<script") && svg.matches("</svg>").count() == 1, "{svg}");
        assert_eq!(svg.matches("tabindex=\"0\"").count(), 1);
        assert!(svg.contains("role=\"group\"") && !svg.contains("NaN"), "{svg}");
    }
}
