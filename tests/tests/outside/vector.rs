//! Lines of an SVG drawing that uses what is drawn once, and has drawings within it, against `usvg`, a library that renders. Which
//! views keep their proportions, and where they are aligned: W3C, Scalable Vector Graphics 2, 8.2, 8.6 and 8.7.

use kurbo::Rect;
use ribline_geometry::capture::read_vector;

/// 96 CSS px to the inch: W3C, CSS Values and Units 3, 5.2.
const MM: f64 = 25.4 / 96.0;

/// The extents of all paths, mm, y up, from left to right and from below.
fn rendered(text: &str) -> Vec<Rect> {
    fn gather(group: &usvg::Group, into: &mut Vec<Rect>) {
        for node in group.children() {
            match node {
                usvg::Node::Group(group) => gather(group, into),
                usvg::Node::Path(path) => {
                    let seen = path.abs_bounding_box();
                    let [x0, y0, x1, y1] =
                        [seen.left(), seen.top(), seen.right(), seen.bottom()].map(f64::from);
                    into.push(Rect::new(x0 * MM, -y1 * MM, x1 * MM, -y0 * MM));
                }
                _ => {}
            }
        }
    }
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("an SVG");
    let mut all = Vec::new();
    gather(tree.root(), &mut all);
    sorted(all)
}

fn read(text: &str) -> Vec<Rect> {
    let drawing = read_vector(text.as_bytes(), 0.5).expect("lines");
    sorted(drawing.lines.iter().map(|line| line.extent()).collect())
}

fn sorted(mut all: Vec<Rect>) -> Vec<Rect> {
    all.sort_by(|a, b| a.x0.round().total_cmp(&b.x0.round()).then(a.y0.total_cmp(&b.y0)));
    all
}

#[test]
fn what_is_used_and_drawings_within_drawings_lie_where_a_renderer_has_them() {
    const SYMBOL: &str = r##"<defs><symbol id="s" viewBox="10 20 40 80"><path id="p" d="M10 20 L50 90 30 95 Z"/></symbol>
        <g id="g" transform="rotate(20)"><path d="M0 0 L60 10 40 70 Z"/></g></defs>"##;
    for inner in [
        r##"<path id="a" d="M20 20 L80 30 60 90 Z" transform="scale(.5)"/><use href="#a" x="100" y="40"/>"##.to_owned(),
        format!(r##"{SYMBOL}<use href="#g" x="30" y="50" transform="translate(5 9) skewX(10)"/>"##),
        format!(r##"{SYMBOL}<use xlink:href="#s" x="30" y="50" width="120" height="60"/>"##),
        format!(r##"{SYMBOL}<use href="#s" width="125" height="90"/><use href="#g" x="99"/>"##),
        format!(r##"{SYMBOL}<use href="#s"/>"##),
        r#"<svg x="20" y="30" width="100" height="60" viewBox="-5 -5 40 40"><path d="M0 0 L20 5 10 25 Z"/></svg>"#.to_owned(),
        r#"<svg x="20" y="30" width="60" height="140" viewBox="0 0 40 40"><path d="M0 0 L20 5 10 25 Z"/></svg>"#.to_owned(),
        r#"<g style="transform: matrix(.5, .1, -.2, .8, 40, 9)" transform="rotate(50)"><path d="M20 20 L80 30 60 90 Z"/></g>"#.to_owned(),
        r#"<path d="M20 20 L80 30 60 90 Z" style="stroke: none; transform: scale(.5, .75)"/>"#.to_owned(),
        r#"<svg width="50%" viewBox="0 0 40 40"><svg x="2" width="50%" height="25%" viewBox="0 0 10 10"><path d="M0 0 L9 5 4 9 Z"/></svg></svg>"#
            .to_owned(),
        ["none", "xMinYMin", "xMaxYMid meet", "xMidYMax slice", "xMinYMax", "xMaxYMax slice"].map(|aspect| {
            format!(r#"<svg y="9" width="90" height="70" viewBox="0 0 30 50" preserveAspectRatio="{aspect}"><path d="M8 16 L20 21 10 34 Z"/></svg>"#)
        }).concat(),
    ] {
        let text = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="200mm" height="160mm" viewBox="0 0 250 200">{inner}</svg>"#
        );
        let (ours, theirs) = (read(&text), rendered(&text));
        assert_eq!(ours.len(), theirs.len(), "{inner}");
        for (a, b) in ours.iter().zip(&theirs) {
            let off = [a.x0 - b.x0, a.y0 - b.y0, a.x1 - b.x1, a.y1 - b.y1];
            // It computes in single precision.
            assert!(off.iter().all(|mm| mm.abs() < 1e-3), "{inner}: {a:?}, rendered {b:?}");
        }
    }
}
