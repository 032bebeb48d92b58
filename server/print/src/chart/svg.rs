//! A drawing as inline SVG.
//!
//! Colours are presentation attributes, which a content security policy allows, with a class
//! beside each: a stylesheet can override them for the night version. No `style` attribute.
//! Classes: `chart` on the picture; on shapes [`crate::sheet::Ink::class`]; on texts also
//! `role-…` after [`crate::sheet::Role::word`].

use core::fmt::Write as _;

use super::Drawing;
use crate::sheet::{Align, Font, Ink, Mark, Text};

/// The drawing as an `<svg>` element. `id` must be unique in the page and stand in an attribute
/// as it is: letters, digits, hyphens.
pub fn svg(drawing: &Drawing, id: &str) -> String {
    let mut out = String::with_capacity(1024 + drawing.marks.len() * 96);
    let (width, height, id) = (number(drawing.width), number(drawing.height), escaped(id));
    out.push_str("<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" role=\"img\" ");
    // Writing to a String cannot fail.
    let _ = write!(out, "aria-labelledby=\"{id}-title {id}-desc\" viewBox=\"0 0 {width} {height}\" ");
    let _ = write!(out, "width=\"{width}\" height=\"{height}\">");
    let _ = write!(out, "<title id=\"{id}-title\">{}</title>", escaped(&drawing.title));
    let _ = write!(out, "<desc id=\"{id}-desc\">{}</desc>", escaped(&drawing.description));
    for mark in &drawing.marks {
        write_mark(&mut out, mark);
    }
    out.push_str("</svg>");
    out
}

fn write_mark(out: &mut String, mark: &Mark) {
    let _ = match mark {
        Mark::Text(text) => {
            write_text(out, text);
            Ok(())
        }
        Mark::Rect { x, y, width, height, ink, outline } => {
            let stroke =
                outline.map(|ink| format!(" stroke=\"{}\" stroke-width=\"0.5\"", hex(ink))).unwrap_or_default();
            write!(
                out,
                "<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"{stroke}/>",
                ink.class(),
                number(*x),
                number(*y),
                number(*width),
                number(*height),
                hex(*ink),
            )
        }
        Mark::Line { from, to, width, ink } => write!(
            out,
            "<line class=\"stroke {}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"{}\" stroke-width=\"{}\"/>",
            ink.class(),
            number(from.0),
            number(from.1),
            number(to.0),
            number(to.1),
            hex(*ink),
            number(*width),
        ),
        Mark::Polyline { points, width, ink, dash } => {
            let points: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", number(*x), number(*y))).collect();
            let dash = dash.map(|(on, off)| format!(" stroke-dasharray=\"{} {}\"", number(on), number(off)));
            write!(
                out,
                "<polyline class=\"stroke {}\" points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"{}/>",
                ink.class(),
                points.join(" "),
                hex(*ink),
                number(*width),
                dash.unwrap_or_default(),
            )
        }
    };
}

fn write_text(out: &mut String, text: &Text) {
    let anchor = match text.align {
        Align::Left => "",
        Align::Middle => " text-anchor=\"middle\"",
        Align::Right => " text-anchor=\"end\"",
    };
    let weight = match text.font {
        Font::Regular => "",
        Font::Semibold | Font::Serif => " font-weight=\"600\"",
    };
    let _ = write!(
        out,
        "<text class=\"role-{} {}\" x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\"{anchor}{weight}>{}</text>",
        text.role.word(),
        text.ink.class(),
        number(text.x),
        number(text.y),
        number(text.size),
        hex(text.ink),
        escaped(&text.text),
    );
}

fn hex(ink: Ink) -> String {
    let [red, green, blue] = ink.rgb();
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Hundredths of a point, without idle zeros.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            _ => out.push(letter),
        }
    }
    out
}
