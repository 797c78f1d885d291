//! A scene as SVG text: two decimals everywhere, the same bytes for the same scene.

use std::fmt::{self, Write};

use super::paint::{Colour, Paint};
use super::path::{Path, Rect, Segment};
use super::scene::{Mark, Scene};
use super::text::{Anchor, Text};

/// A number with two decimals, held to where a page can be, never "-0.00".
struct Fixed(f64);

impl fmt::Display for Fixed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hundredths = (self.0 * 100.0).round().clamp(-1e8, 1e8) as i64;
        let sign = if hundredths < 0 { "-" } else { "" };
        let size = hundredths.unsigned_abs();
        write!(f, "{sign}{}.{:02}", size / 100, size % 100)
    }
}

/// Text with the five characters that XML reserves written as entities, and a sign in the place of those that
/// would act instead of being seen.
struct Escaped<'a>(&'a str);

impl fmt::Display for Escaped<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for c in crate::words::visible(self.0).chars() {
            match c {
                '&' => f.write_str("&amp;")?,
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '"' => f.write_str("&quot;")?,
                '\'' => f.write_str("&#39;")?,
                c => f.write_char(c)?,
            }
        }
        Ok(())
    }
}

impl fmt::Display for Colour {
    /// As `#rrggbb`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

impl Scene {
    /// The picture as an SVG document.
    #[must_use]
    pub fn to_svg(&self) -> String {
        let mut out = String::with_capacity(32 * 1024);
        // Writing to a String cannot fail.
        let _ = write_document(&mut out, self);
        out
    }
}

fn write_document(out: &mut String, scene: &Scene) -> fmt::Result {
    let (w, h) = (Fixed(scene.width), Fixed(scene.height));
    let (across, down, unit) = match scene.millimetres {
        Some((across, down)) => (Fixed(across), Fixed(down), "mm"),
        None => (Fixed(scene.width), Fixed(scene.height), ""),
    };
    writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{across}{unit}\" \
         height=\"{down}{unit}\" viewBox=\"0.00 0.00 {w} {h}\" font-family=\"'DejaVu Sans', sans-serif\">"
    )?;
    writeln!(out, "<title>{}</title>", Escaped(&scene.title))?;
    writeln!(out, "<desc>{}</desc>", Escaped(&scene.description))?;
    writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>")?;
    let mut group_open = false;
    for mark in &scene.marks {
        match mark {
            Mark::Shape(path, paint) => write_shape(out, path, paint)?,
            Mark::Text(text) => write_text(out, text)?,
            Mark::Clip(to) => {
                if std::mem::replace(&mut group_open, to.is_some()) {
                    writeln!(out, "</g>")?;
                }
                if let Some(rect) = to {
                    write_clip(out, rect)?;
                }
            }
        }
    }
    writeln!(out, "{}</svg>", if group_open { "</g>\n" } else { "" })
}

/// Opens a clipped group. The name of the clip is made from its rectangle, so that several figures
/// in one HTML page may share a name only where they share the meaning.
fn write_clip(out: &mut String, r: &Rect) -> fmt::Result {
    let (x, y, w, h) = (Fixed(r.x), Fixed(r.y), Fixed(r.width), Fixed(r.height));
    let id = format!("clip-{x}-{y}-{w}-{h}").replace('.', "_");
    writeln!(
        out,
        "<clipPath id=\"{id}\"><rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/></clipPath>\n\
         <g clip-path=\"url(#{id})\">"
    )
}

fn write_shape(out: &mut String, path: &Path, paint: &Paint) -> fmt::Result {
    out.push_str("<path d=\"");
    for segment in path.segments() {
        match *segment {
            Segment::Move(x, y) => write!(out, "M{} {}", Fixed(x), Fixed(y))?,
            Segment::Line(x, y) => write!(out, "L{} {}", Fixed(x), Fixed(y))?,
            Segment::Cubic(x1, y1, x2, y2, x, y) => {
                let [x1, y1, x2, y2, x, y] = [x1, y1, x2, y2, x, y].map(Fixed);
                write!(out, "C{x1} {y1} {x2} {y2} {x} {y}")?;
            }
            Segment::Close => out.push('Z'),
        }
    }
    out.push('"');
    match paint.fill {
        None => out.push_str(" fill=\"none\""),
        Some((colour, opacity)) if opacity >= 1.0 => write!(out, " fill=\"{colour}\"")?,
        Some((colour, opacity)) => {
            write!(out, " fill=\"{colour}\" fill-opacity=\"{}\"", Fixed(opacity))?;
        }
    }
    if let Some(stroke) = paint.stroke {
        write!(out, " stroke=\"{}\" stroke-width=\"{}\"", stroke.colour, Fixed(stroke.width))?;
        out.push_str(" stroke-linejoin=\"round\"");
        if !stroke.dash.is_empty() {
            let lengths: Vec<String> = stroke.dash.iter().map(|d| Fixed(*d).to_string()).collect();
            write!(out, " stroke-dasharray=\"{}\"", lengths.join(" "))?;
        }
    }
    out.push_str("/>\n");
    Ok(())
}

fn write_text(out: &mut String, text: &Text) -> fmt::Result {
    let (x, y) = (Fixed(text.at.0), Fixed(text.at.1));
    write!(out, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", Fixed(text.size))?;
    write!(out, " fill=\"{}\"", text.colour)?;
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if text.rotation != 0.0 {
        write!(out, " transform=\"rotate({} {x} {y})\"", Fixed(-text.rotation))?;
    }
    writeln!(out, ">{}</text>", Escaped(&text.content))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fixed_decimals() {
        let written = [0.0, -0.001, -1.005, 12.345_6, 1e300].map(|v| Fixed(v).to_string());
        assert_eq!(written, ["0.00", "0.00", "-1.00", "12.35", "1000000.00"]);
    }
}
