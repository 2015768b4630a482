//! What tells series and bars apart without colour: markers, dashes, fillings.

/// The shape of a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marker {
    /// A full circle.
    Circle,
    /// An open square.
    OpenSquare,
    /// A full triangle.
    Triangle,
    /// An open diamond.
    OpenDiamond,
    /// A full square.
    Square,
    /// An open circle.
    OpenCircle,
    /// A full diamond.
    Diamond,
    /// An open triangle.
    OpenTriangle,
}

impl Marker {
    const ALL: [Self; 8] = [
        Self::Circle,
        Self::OpenSquare,
        Self::Triangle,
        Self::OpenDiamond,
        Self::Square,
        Self::OpenCircle,
        Self::Diamond,
        Self::OpenTriangle,
    ];

    /// The marker of the series with this number; they repeat after eight.
    pub fn of(number: usize) -> Self {
        Self::ALL[number % Self::ALL.len()]
    }

    /// The shape around a place.
    pub fn shape(self, x: f64, y: f64) -> String {
        let corners = |corners: &[(f64, f64)]| {
            let places: Vec<String> =
                corners.iter().map(|(dx, dy)| format!("{:.1},{:.1}", x + dx, y + dy)).collect();
            format!("<polygon points=\"{}\"", places.join(" "))
        };
        let shape = match self {
            Self::Circle | Self::OpenCircle => format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4.5\""),
            Self::Square | Self::OpenSquare => corners(&[(-4.0, -4.0), (4.0, -4.0), (4.0, 4.0), (-4.0, 4.0)]),
            Self::Triangle | Self::OpenTriangle => corners(&[(0.0, -5.5), (5.0, 4.0), (-5.0, 4.0)]),
            Self::Diamond | Self::OpenDiamond => corners(&[(0.0, -6.0), (6.0, 0.0), (0.0, 6.0), (-6.0, 0.0)]),
        };
        let class = match self {
            Self::Circle | Self::Triangle | Self::Square | Self::Diamond => "full",
            Self::OpenSquare | Self::OpenDiamond | Self::OpenCircle | Self::OpenTriangle => "open",
        };
        let fill = if class == "full" { "currentColor" } else { "none" };
        format!(
            "{shape} class=\"marker {class}\" fill=\"{fill}\" stroke=\"currentColor\" stroke-width=\"1.6\"/>"
        )
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Without gaps.
    Solid,
    /// Dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// Dashes and dots in turn.
    Mixed,
}

impl Dash {
    const ALL: [Self; 4] = [Self::Solid, Self::Dashed, Self::Dotted, Self::Mixed];

    /// The dash of the series with this number; they repeat after four.
    pub fn of(number: usize) -> Self {
        Self::ALL[number % Self::ALL.len()]
    }

    /// As an attribute.
    pub(super) fn attribute(self) -> &'static str {
        match self {
            Self::Solid => "",
            Self::Dashed => " stroke-dasharray=\"7 4\"",
            Self::Dotted => " stroke-dasharray=\"2 3\"",
            Self::Mixed => " stroke-dasharray=\"9 3 2 3\"",
        }
    }
}

/// How a bar is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filling {
    /// Full.
    Solid,
    /// Hatched.
    Hatched,
    /// An outline alone.
    Open,
}

impl Filling {
    /// The class of a bar.
    pub(super) fn class(self) -> &'static str {
        match self {
            Self::Solid => "solid",
            Self::Hatched => "hatched",
            Self::Open => "open",
        }
    }

    /// The value of `fill`; hatching is a pattern of the chart with this id.
    pub(super) fn fill(self, id: &str) -> String {
        match self {
            Self::Solid => "currentColor".to_owned(),
            Self::Hatched => format!("url(#{}-hatch)", super::drawing::escaped(id)),
            Self::Open => "none".to_owned(),
        }
    }
}

/// The hatching pattern of a chart.
pub(super) fn hatching(id: &str) -> String {
    format!(
        "<defs><pattern id=\"{}-hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\" stroke=\"currentColor\" \
         stroke-width=\"2\"/></pattern></defs>\n",
        super::drawing::escaped(id)
    )
}
