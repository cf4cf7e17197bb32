//! Scale bar and north point: they stay where they are while the map moves.

use crate::html::{Html, number};

use super::frame::{Frame, HEIGHT, WIDTH};

/// The scale bar is at most this long, in units of the drawing.
const LONGEST_BAR: f64 = 170.0;

/// Boxes that scale bar, north point and the buttons cover: left, top, right, bottom.
pub(super) const COVERED: [(f64, f64, f64, f64); 2] = [
    (0.0, HEIGHT - 46.0, 210.0, HEIGHT),
    (WIDTH - 48.0, 0.0, WIDTH, 66.0),
];

/// Writes scale bar, north point and the neat line round the map.
pub(super) fn write_furniture(html: &mut Html, frame: &Frame) {
    html.open("g", &[("class", "furniture"), ("aria-hidden", "true")])
        .line();
    let (width, height) = (number(WIDTH - 2.0), number(HEIGHT - 2.0));
    html.empty(
        "rect",
        &[
            ("class", "neatline"),
            ("x", "1"),
            ("y", "1"),
            ("width", &width),
            ("height", &height),
        ],
    );
    write_scale_bar(html, frame);
    write_north(html);
    html.close().line();
}

fn write_scale_bar(html: &mut Html, frame: &Frame) {
    let metres = round_length(LONGEST_BAR / frame.units_per_metre());
    let length = metres * frame.units_per_metre();
    let corner = format!("translate(14 {})", number(HEIGHT - 12.0));
    html.open("g", &[("transform", &corner)]);
    html.open(
        "g",
        &[
            ("id", "scale"),
            ("class", "fit"),
            (
                "data-units-per-metre",
                &format!("{:.6}", frame.units_per_metre()),
            ),
            ("data-longest", &number(LONGEST_BAR)),
        ],
    );
    html.empty(
        "rect",
        &[
            ("class", "plate"),
            ("x", "-8"),
            ("y", "-28"),
            ("width", "200"),
            ("height", "34"),
        ],
    );
    html.empty("path", &[("class", "measure"), ("d", &bar_path(length))]);
    html.words("text", &[("x", "0"), ("y", "-12")], &length_words(metres));
    html.close().close().line();
}

fn bar_path(length: f64) -> String {
    let (half, whole) = (number(length / 2.0), number(length));
    format!("M0 -6V0H{whole}V-6M{half} -4V0")
}

fn length_words(metres: f64) -> String {
    if metres >= 1000.0 {
        format!("{} km", number(metres / 1000.0))
    } else {
        format!("{} m", number(metres))
    }
}

/// The longest of 1, 2 and 5 times a power of ten that is no longer than this.
fn round_length(longest: f64) -> f64 {
    let power = 10f64.powf(longest.log10().floor());
    [5.0, 2.0]
        .into_iter()
        .map(|step| step * power)
        .find(|&length| length <= longest)
        .unwrap_or(power)
}

fn write_north(html: &mut Html) {
    let corner = format!("translate({} 14)", number(WIDTH - 24.0));
    html.open("g", &[("transform", &corner)]);
    html.open("g", &[("class", "fit north")]);
    html.empty(
        "rect",
        &[
            ("class", "plate"),
            ("x", "-14"),
            ("y", "-8"),
            ("width", "28"),
            ("height", "54"),
        ],
    );
    html.empty("path", &[("class", "needle"), ("d", "M0 0L7 26L0 20Z")]);
    html.empty(
        "path",
        &[("class", "needle hollow"), ("d", "M0 0L-7 26L0 20Z")],
    );
    html.words(
        "text",
        &[("x", "0"), ("y", "40"), ("text-anchor", "middle")],
        "N",
    );
    html.close().close().line();
}

#[cfg(test)]
mod tests {
    use super::{length_words, round_length};

    #[test]
    fn bars_are_round_lengths() {
        for (longest, bar) in [(430.0, 200.0), (99.0, 50.0), (1.0, 1.0), (2500.0, 2000.0)] {
            assert!((round_length(longest) - bar).abs() < 1e-9, "{longest}");
        }
        assert_eq!(length_words(200.0), "200 m");
        assert_eq!(length_words(2000.0), "2 km");
    }
}
