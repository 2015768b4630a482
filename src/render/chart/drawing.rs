//! Pieces of SVG text: escaped texts, the frame of a chart, widths of words.

use std::fmt::Write;

/// Size of letters, px.
pub const LETTER: f64 = 13.0;
/// Width of a chart, px.
pub const WIDTH: f64 = 640.0;

/// Text within SVG.
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '&' => safe.push_str("&amp;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            // XML knows no control characters, not even escaped.
            letter if letter.is_control() => safe.push('\u{fffd}'),
            letter => safe.push(letter),
        }
    }
    safe
}

/// Width of a text, px: an estimate on the wide side, since a chart does not know its letters.
pub fn width_of(text: &str) -> f64 {
    text.chars().map(|letter| if ('\u{1100}'..).contains(&letter) { 1.0 } else { 0.56 } * LETTER).sum()
}

/// A text that fits into a width, cut with an ellipsis.
pub fn fitted(text: &str, width: f64) -> String {
    if width_of(text) <= width {
        return text.to_owned();
    }
    let mut cut = String::new();
    for letter in text.chars() {
        cut.push(letter);
        if width < width_of(&cut) + LETTER {
            cut.pop();
            break;
        }
    }
    format!("{}…", cut.trim_end())
}

/// How a reader without eyes meets a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// As one picture with its description.
    Picture,
    /// As a group of points that can be reached one by one.
    Group,
}

/// The frame of a chart around its pieces.
pub fn framed(id: &str, role: Role, title: &str, description: &str, height: f64, pieces: &str) -> String {
    let role = match role {
        Role::Picture => "img",
        Role::Group => "group",
    };
    let (id, title, description) = (escaped(id), escaped(title), escaped(description));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" id=\"{id}\" viewBox=\"0 0 {WIDTH} {height}\" \
         width=\"{WIDTH}\" height=\"{height}\" role=\"{role}\" aria-labelledby=\"{id}-title {id}-text\" \
         font-family=\"sans-serif\" font-size=\"{LETTER}\" fill=\"currentColor\">\n<title id=\"{id}-title\">{title}</title>\n\
         <desc id=\"{id}-text\">{description}</desc>\n{pieces}</svg>\n"
    )
}

/// Where a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// A text at a place.
pub fn text(out: &mut String, x: f64, y: f64, anchor: Anchor, content: &str) {
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let _ =
        writeln!(out, "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{}</text>", escaped(content));
}

/// A straight line of a class.
pub fn line(out: &mut String, class: &str, from: (f64, f64), to: (f64, f64), more: &str) {
    let _ = writeln!(
        out,
        "<line class=\"{class}\" x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{:.1}\" y2=\"{:.1}\" stroke=\"currentColor\"{more}/>",
        from.0, from.1, to.0, to.1
    );
}

/// A chart as a file of its own: black on white.
pub fn standalone(svg: &str) -> String {
    let svg = svg.replacen("<svg ", "<svg style=\"color:#111;background:#fff\" ", 1);
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{svg}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_escaped_and_cut() {
        assert_eq!(escaped("<a b=\"c\">&'\u{7}"), "&lt;a b=&quot;c&quot;&gt;&amp;&#39;\u{fffd}");
        assert_eq!(fitted("cement", 100.0), "cement");
        let cut = fitted("a very long name of a material", 100.0);
        assert!(cut.ends_with('…') && width_of(&cut) <= 104.0, "{cut}");
        assert_eq!(fitted("sand", 0.0), "…");
    }
}
