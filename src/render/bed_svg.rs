//! A bed from above as SVG 1.1: stems, the ground kept free about them, seed. Told apart by form,
//! not by colour alone: stems are rings with a cross, seed are dots, the free ring is hatched.

use std::fmt::Write as _;

use crate::advise::intersow::Layout;
use crate::view::Units;

/// Units of the picture in a centimetre.
const SCALE: f64 = 3.0;
const MARGIN: f64 = 24.0;
const LEGEND: f64 = 64.0;

/// The plan of a bed. The title and the two names are words for people who look and who listen.
#[must_use]
pub fn bed_svg(units: Units, layout: &Layout, title: &str, (crop, cover): (&str, &str)) -> String {
    let (length, width) = (layout.ground.length * SCALE, layout.ground.width * SCALE);
    let (whole_x, whole_y) = (length + 2.0 * MARGIN, width + 2.0 * MARGIN + LEGEND);
    let mut svg = String::new();
    let described = format!(
        "{} {crop} stems, {} places of {cover} seed, {} kept free about each stem; {} of {} {} are \
         free",
        layout.stems.len(),
        layout.seeds(),
        units.short_length(layout.sowing.distance),
        units.area_figure(layout.areas.free, 2),
        units.area_figure(layout.areas.bed, 2),
        units.area_sign()
    );
    let (title, crop, cover) = (escaped(title), escaped(crop), escaped(cover));
    // Writing to a string cannot fail.
    let _ = write!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {whole_x:.0} {whole_y:.0}\" \
         width=\"{whole_x:.0}\" height=\"{whole_y:.0}\" role=\"img\" aria-labelledby=\"t d\" \
         font-family=\"sans-serif\" font-size=\"14\">\n<title id=\"t\">{title}</title>\n\
         <desc id=\"d\">{}</desc>\n<defs><pattern id=\"kept\" width=\"8\" height=\"8\" \
         patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><rect width=\"8\" \
         height=\"8\" fill=\"#f2efe6\"/><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"8\" \
         stroke=\"#8a8168\" stroke-width=\"1\"/></pattern><clipPath id=\"bed\"><rect \
         x=\"{MARGIN}\" y=\"{MARGIN}\" width=\"{length:.1}\" height=\"{width:.1}\"/></clipPath>\
         </defs>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n<rect x=\"{MARGIN}\" \
         y=\"{MARGIN}\" width=\"{length:.1}\" height=\"{width:.1}\" fill=\"#ffffff\" \
         stroke=\"#222222\" stroke-width=\"2\"/>\n<g clip-path=\"url(#bed)\">\n",
        escaped(&described)
    );
    let at = |value: f64| MARGIN + value * SCALE;
    let ring = layout.sowing.distance * SCALE;
    for stem in &layout.stems {
        let _ = writeln!(
            svg,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{ring:.1}\" fill=\"url(#kept)\"/>",
            at(stem.x),
            at(stem.y)
        );
    }
    svg.push_str("</g>\n");
    for spot in layout.spots() {
        let _ = writeln!(
            svg,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"3\" fill=\"#1d4f2b\"/>",
            at(spot.x),
            at(spot.y)
        );
    }
    for stem in &layout.stems {
        stem_mark(&mut svg, at(stem.x), at(stem.y));
    }
    let first = MARGIN + width + 26.0;
    stem_mark(&mut svg, MARGIN + 8.0, first);
    let _ = write!(
        svg,
        "<text x=\"{:.0}\" y=\"{:.0}\">{crop}, hatched: kept free</text>\n\
         <circle cx=\"{:.0}\" cy=\"{:.0}\" r=\"3\" fill=\"#1d4f2b\"/>\n\
         <text x=\"{:.0}\" y=\"{:.0}\">{cover} seed; the bed is {}</text>\n</svg>\n",
        MARGIN + 24.0,
        first + 5.0,
        MARGIN + 8.0,
        first + 26.0,
        MARGIN + 24.0,
        first + 31.0,
        units.sides(layout.ground.length / 100.0, layout.ground.width / 100.0)
    );
    svg
}

fn stem_mark(svg: &mut String, x: f64, y: f64) {
    let _ = writeln!(
        svg,
        "<g stroke=\"#222222\" stroke-width=\"2\"><circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"8\" \
         fill=\"#ffffff\"/><line x1=\"{:.1}\" y1=\"{y:.1}\" x2=\"{:.1}\" y2=\"{y:.1}\"/>\
         <line x1=\"{x:.1}\" y1=\"{:.1}\" x2=\"{x:.1}\" y2=\"{:.1}\"/></g>",
        x - 8.0,
        x + 8.0,
        y - 8.0,
        y + 8.0
    );
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advise::intersow::{Ground, Sowing};

    #[test]
    fn every_stem_and_seed_is_drawn_and_names_are_escaped() {
        let ground = Ground {
            length: 240.0,
            width: 120.0,
            row_spacing: 60.0,
            plant_spacing: 45.0,
            plants: Some(10),
        };
        let sowing =
            Sowing { distance: 25.0, margin: 5.0, between_lines: 15.0, between_seeds: 9.0 };
        let layout = Layout::new(ground, sowing);
        let svg = bed_svg(Units::default(), &layout, "a & b", ("pepper", "bell <bean>"));
        assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
        assert!(svg.contains("a &amp; b") && svg.contains("bell &lt;bean&gt;"));
        assert_eq!(svg.matches("r=\"3\"").count(), layout.seeds() + 1);
        assert_eq!(svg.matches("url(#kept)").count(), layout.stems.len());
        assert_eq!(svg.matches("<g ").count(), svg.matches("</g>").count());
    }
}
