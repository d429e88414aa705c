use super::*;
use proptest::prelude::*;
use std::f64::consts::PI;

fn lines(text: &str) -> Vec<VectorLine> {
    read_vector(text.as_bytes(), 2.0).unwrap().lines
}

fn refusal(text: &str) -> VectorError {
    read_vector(text.as_bytes(), 2.0).unwrap_err()
}

fn extent(line: &VectorLine) -> kurbo::Rect {
    line.points
        .iter()
        .skip(1)
        .fold(kurbo::Rect::from_points(line.points[0], line.points[0]), |r, p| r.union_pt(*p))
}

#[test]
fn units_view_box_and_transforms_are_honoured() {
    // The same square of 40 mm, its lower left corner at (20, -60), in several ways.
    let inner = r#"<rect x="20" y="20" width="40" height="40"/>"#;
    for svg in [
        format!(r#"<svg width="100mm" height="100mm" viewBox="0 0 100 100">{inner}</svg>"#),
        format!(r#"<svg width="10cm" viewBox="0 0 100 100">{inner}</svg>"#),
        format!(r#"<svg width="200mm" height="100mm" viewBox="0 0 100 100">{inner}</svg>"#),
        r#"<svg width="3.93700787in" height="3.93700787in" viewBox="0 0 1000 1000"><rect x="200" y="200" width="400" height="400"/></svg>"#.to_owned(),
        format!(r#"<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "x.dtd"><svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="-10 -10 100 100"><g transform="translate(-10 -10)">{inner}</g></svg>"#),
        r#"<svg width="100mm" height="100mm" viewBox="0 0 100 100"><g transform="translate(60,20) rotate(90)"><path transform="scale(2)" d="M0 0h20v20h-20z"/></g></svg>"#.to_owned(),
        r#"<svg><path transform="scale(3.77952755906)" d="M20,20 L60,20 60,60 20,60 Z"/></svg>"#.to_owned(),
    ] {
        let found = lines(&svg);
        assert_eq!(found.len(), 1, "{svg}");
        let rect = extent(&found[0]);
        for (one, other) in [(rect.x0, 20.0), (rect.x1, 60.0), (rect.y0, -60.0), (rect.y1, -20.0)] {
            assert!((one - other).abs() < 1e-4, "{svg}: {rect:?}");
        }
        assert!(found[0].closed && (found[0].length - 160.0).abs() < 1e-3);
        assert_eq!(found[0].points.len(), 80);
    }
}

#[test]
fn a_style_stands_things_where_the_attribute_of_the_same_meaning_does() {
    let at = |said: &str| {
        let svg = format!(
            r#"<svg width="300mm" height="300mm" viewBox="0 0 300 300"><g {said}><path d="M20 30 L60 40 50 90 Z"/></g></svg>"#
        );
        extent(&lines(&svg)[0])
    };
    for (style, attribute) in [
        ("transform: translate(30px, 20px)", "translate(30 20)"),
        ("transform:translate(2in)", "translate(192 0)"),
        ("transform: translate(10%, 0)", "translate(30 0)"),
        ("transform: translateX(25.4mm) translateY(-9px)", "translate(96 -9)"),
        ("fill: none; Transform: Scale(2, 0.5) ; stroke: red", "scale(2 .5)"),
        ("transform: scaleX(1.5) scaleY(3)", "scale(1.5 3)"),
        ("transform: translate(99px, 0) rotate(10deg)", "translate(99) rotate(10)"),
        ("transform: rotate(-0.5rad)", "rotate(-28.64788975654116)"),
        ("transform: rotate(0.125turn) rotate(50grad)", "rotate(90)"),
        ("transform: skewX(12deg) skewY(0)", "skewX(12)"),
        ("transform: skew(0deg, 7deg)", "skewY(7)"),
        ("transform: matrix(1, 0.2, -0.1, 2, 30, -4)", "matrix(1 .2 -.1 2 30 -4)"),
        ("transform: rotate(5deg); transform: scale(3) !important", "scale(3)"),
        ("transform: none", ""),
    ] {
        let (ours, theirs) = (at(&format!("style=\"{style}\"")), at(&format!("transform=\"{attribute}\"")));
        let off = [ours.x0 - theirs.x0, ours.y0 - theirs.y0, ours.x1 - theirs.x1, ours.y1 - theirs.y1];
        assert!(off.iter().all(|mm| mm.abs() < 1e-6), "{style}: {ours:?}, not {theirs:?}");
        // It goes before what the attribute says.
        assert_eq!(at(&format!("style=\"{style}\" transform=\"scale(7)\"")), ours, "{style}");
    }
    // What is no value of a style leaves the attribute to say it.
    for style in
        ["rotate(10)", "translate(5 5)", "scale(2px)", "rotate(10deg", "rotate3d(1, 0, 0, 9deg)", "", "up"]
    {
        let both = format!("style=\"transform: {style}\" transform=\"scale(2)\"");
        assert_eq!(at(&both), at("transform=\"scale(2)\""), "{style}");
    }
}

#[test]
fn an_edge_loses_its_button_only_where_its_feet_are_places_of_it() {
    // A square of 40 mm with a tongue of 8 mm by 5 mm on its upper side.
    let read = |feet: &str, moved: &str| {
        let svg = format!(
            r#"<svg width="100mm" height="100mm" viewBox="0 0 100 100"><path {moved} {feet} d="M20 60H60V20H44V15H36V20H20Z"/></svg>"#
        );
        let found = lines(&svg);
        assert_eq!(found.len(), 1);
        (found[0].length, found[0].closed, extent(&found[0]).y1)
    };
    let near = |(length, closed, top): (f64, bool, f64), wanted: (f64, bool, f64)| {
        (length - wanted.0).abs() < 1e-6 && closed == wanted.1 && (top - wanted.2).abs() < 1e-6
    };
    for feet in ["44 20 36 20", "36 20 44.001 20"] {
        let found = read(&format!("data-button-feet=\"{feet}\""), "");
        assert!(near(found, (152.0, false, -20.0)), "{found:?}");
    }
    let found = read(r#"data-button-feet="44 20 36 20""#, r#"transform="translate(0 7)""#);
    assert!(near(found, (152.0, false, -27.0)), "{found:?}");
    for feet in
        ["", "data-button-feet=\"44 20 36 21\"", "data-button-feet=\"44 20\"", "data-button-feet=\"a b c d\""]
    {
        let found = read(feet, "");
        assert!(near(found, (170.0, true, -15.0)), "{feet}: {found:?}");
    }
}

#[test]
fn of_a_drawing_that_is_not_our_own_every_long_line_is_likely() {
    let likely = |names: [&str; 3]| {
        let [a, b, c] = names;
        let svg = format!(
            r#"<svg width="99mm" viewBox="0 0 99 99"><path id="{a}" d="M0 0h90"/><path id="{b}" d="M0 9h80"/><path id="{c}" d="M0 12h10"/></svg>"#
        );
        read_vector(svg.as_bytes(), 2.0).unwrap().likely()
    };
    assert_eq!(likely(["ribs", "outline", "edge"]), [true, true, false]);
    assert_eq!(likely(["left-for-the-file", "edge", "check"]), [false, true, false]);
    assert_eq!(likely(["purfling-channel", "purfling-channel", "purfling"]), [false, false, true]);
    assert_eq!(likely(["mould", "recesses", "check"]), [true, true, false]);
}

/// A violin's edge with what a drawing has around it: each of them in another file, with the body last.
#[test]
fn what_is_drawn_with_a_rule_around_an_outline_is_not_likely() {
    let outline = crate::recipe::violin().evaluate().unwrap().outline;
    let body = format!(r#"<path d="{}"/>"#, outline.to_path(1e-3).to_svg());
    let run = |run: &crate::arc::Chain| {
        let places = run.sampled(0.3).into_iter().map(|(p, _)| format!("{:.3} {:.3} ", p.x, p.y));
        format!(r#"<polyline points="{}"/>"#, places.collect::<String>())
    };
    let runs: String = outline.runs.iter().map(run).collect();
    let frame = r#"<path d="M-150-20h300v400h-300z"/>"#;
    let rounded = r#"<rect x="-150" y="-20" width="300" height="400" rx="25"/>"#;
    let centreline = r#"<path d="M0-10V370"/>"#;
    let hole = r#"<circle cx="40" cy="190" r="36"/>"#;
    let marks = r#"<circle cx="0" cy="6" r="2"/>"#;
    for spacing in [0.5, 3.0, 20.0] {
        let wanted = |inner: &str| {
            let svg =
                format!(r#"<svg width="400mm" height="500mm" viewBox="-200 -50 400 500">{inner}</svg>"#);
            let read = read_vector(svg.as_bytes(), spacing).unwrap();
            let lengths = read.lines.iter().zip(read.likely()).filter(|(_, likely)| *likely);
            lengths.map(|(line, _)| (line.length, line.closed)).collect::<Vec<_>>()
        };
        let alone = wanted(&body);
        assert!(matches!(alone[..], [(_, true)]), "{alone:?}");
        for around in [frame, rounded, &format!("{frame}{centreline}{hole}{marks}")] {
            assert_eq!(wanted(&format!("{around}{body}")), alone, "at every {spacing} mm: {around}");
        }
        let in_runs = wanted(&runs);
        assert_eq!(
            wanted(&format!("{frame}{centreline}{hole}{marks}{runs}")),
            in_runs,
            "at every {spacing} mm"
        );
    }
}

#[test]
fn of_two_outlines_one_in_the_other_the_outer_is_likely() {
    let svg = r#"<svg width="400mm" height="400mm" viewBox="-200 -200 400 400"><circle r="96"/><circle r="100"/></svg>"#;
    assert_eq!(read_vector(svg.as_bytes(), 2.0).unwrap().likely(), [true, false]);
}

#[test]
fn a_file_that_does_not_say_its_unit_is_told_of() {
    let inner = r#"<rect x="20" y="20" width="40" height="40"/>"#;
    let taken = |text: &str| read_vector(text.as_bytes(), 2.0).unwrap().unit_taken;
    for (head, expected) in [
        (r#"width="100mm" viewBox="0 0 100 100""#, None),
        (r#"height="5in" viewBox="0 0 100 100""#, None),
        (r#"viewBox="0 0 100 100""#, Some(UnitTaken::Pixel)),
        (r#"width="100%" height="100%" viewBox="0 0 100 100""#, Some(UnitTaken::Pixel)),
        (r#"width="100" height="100px""#, Some(UnitTaken::Pixel)),
        ("", Some(UnitTaken::Pixel)),
    ] {
        assert_eq!(taken(&format!("<svg {head}>{inner}</svg>")), expected, "{head}");
    }
    let line = "0 LINE 10 0 20 0 11 90 21 0";
    assert_eq!(taken(&dxf("9 $INSUNITS 70 4", line)), None);
    assert_eq!(taken(&dxf("9 $INSUNITS 70 0", line)), Some(UnitTaken::Millimetre));
    assert_eq!(taken(&dxf("", line)), Some(UnitTaken::Millimetre));
}

#[test]
fn what_uses_itself_or_itself_many_times_over_comes_to_an_end() {
    let itself = r##"<svg><g id="a"><use href="#a"/></g></svg>"##;
    assert_eq!(refusal(itself), VectorError::TooDeep);
    let doubled =
        (1..60).map(|k| format!(r##"<g id="g{k}"><use href="#g{0}"/><use href="#g{0}"/></g>"##, k - 1));
    let doubled = doubled.collect::<String>();
    let text = format!(r##"<svg><defs><g id="g0"/>{doubled}</defs><use href="#g59"/></svg>"##);
    assert_eq!(refusal(&text), VectorError::TooMany);
    assert_eq!(
        refusal(r##"<svg><use href="#none"/><use href="other.svg#a"/><use/></svg>"##),
        VectorError::Nothing
    );
}

#[test]
fn curves_are_sampled_on_the_curve_at_the_spacing_and_corners_are_kept() {
    let found = lines(
        r#"<svg viewBox="0 0 300 300" width="300mm"><path id="half" d="M50 150 A100 100 0 0 1 250 150 L150 250"/></svg>"#,
    );
    assert_eq!(found[0].name, "half");
    let circle: Vec<_> = found[0].points.iter().filter(|p| p.y >= -150.0 - 1e-9).collect();
    assert!(circle.len() > 150);
    for p in &circle {
        assert!((p.distance(Point::new(150.0, -150.0)) - 100.0).abs() < 0.01);
    }
    for pair in found[0].points.windows(2) {
        assert!((pair[0].distance(pair[1]) - 2.0).abs() < 0.05);
    }
    assert!(found[0].points.iter().any(|p| p.distance(Point::new(250.0, -150.0)) < 1e-6));
}

#[test]
fn what_is_not_shown_is_passed_over_and_scripts_are_nothing() {
    let found = lines(
        r#"<svg viewBox="0 0 99 99" width="99mm"><script>alert("no")</script><defs><path d="M0 0h90"/></defs>
        <g style="display: none"><path d="M0 0h80"/></g><path d="M0 0h70" visibility="hidden"/>
        <image href="http://localhost/x.png"/><line x1="0" y1="0" x2="50" y2="0"/><text>word</text></svg>"#,
    );
    assert_eq!(found.len(), 1);
    assert!((found[0].length - 50.0).abs() < 1e-9);
}

#[test]
fn a_dxf_that_breaks_off_is_refused_wherever_it_does() {
    let whole = dxf("9 $INSUNITS 70 4", "0 LINE 10 0 20 0 11 90 21 0 0 LINE 10 90 20 0 11 90 21 70");
    let breaks_off = |text: &str| match refusal(text) {
        VectorError::DamagedDxf { why, .. } => why == "it breaks off",
        _ => false,
    };
    let lines: Vec<&str> = whole.lines().collect();
    let entities = lines.iter().position(|line| *line == "LINE").unwrap();
    let end = lines.iter().rposition(|line| *line == "ENDSEC").unwrap();
    for count in entities + 1..end {
        assert!(breaks_off(&lines[..count].join("\n")), "after {count} lines");
    }
    assert_eq!(lines.len(), end + 3);
    assert!(read_vector(lines[..=end].join("\n").as_bytes(), 2.0).is_ok());
}

#[test]
fn hostile_drawings_are_refused_with_a_sentence() {
    let laughs = r#"<!DOCTYPE svg [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]><svg>&b;</svg>"#;
    assert!(matches!(refusal(laughs), VectorError::DamagedSvg { .. }));
    let many = format!("<svg>{}</svg>", "<g/>".repeat(300_000));
    assert_eq!(refusal(&many), VectorError::TooMany);
    let long = format!("<svg><path d=\"M0 0{}\"/></svg>", "h1".repeat(200_000));
    assert_eq!(refusal(&long), VectorError::TooMany);
    let deep = format!("<svg>{}{}</svg>", "<g>".repeat(100_000), "</g>".repeat(100_000));
    assert_eq!(refusal(&deep), VectorError::TooDeep);
    assert!(matches!(refusal("<svg><path d=\"M0 0h9"), VectorError::DamagedSvg { .. }));
    assert_eq!(refusal("<html/>"), VectorError::Neither);
    assert_eq!(refusal("<svg/>"), VectorError::Nothing);
    assert_eq!(refusal("\u{89}PNG\r\n"), VectorError::Neither);
    assert_eq!(refusal(""), VectorError::Neither);
    assert_eq!(read_vector(&vec![b' '; FILE_LIMIT + 1], 2.0), Err(VectorError::TooLarge));
    assert_eq!(read_vector(b"<svg/>", f64::NAN), Err(VectorError::Spacing));
    let wide = r#"<svg viewBox="0 0 9 9" width="9mm"><path d="M0 0H4900V4900H0V100H4800V4700H100"/></svg>"#;
    assert!(matches!(read_vector(wide.as_bytes(), 0.2), Err(VectorError::TooManyPoints { .. })));
    assert_eq!(refusal(r#"<svg><path d="M0 0L1e300 1e300L5 NaN"/></svg>"#), VectorError::Nothing);
    for text in [laughs, &many, &deep, "<svg/>", "7\nx", ""] {
        assert!(refusal(text).to_string().ends_with('.'));
    }
}

fn dxf(header: &str, entities: &str) -> String {
    let pairs =
        format!("0 SECTION 2 HEADER {header} 0 ENDSEC 0 SECTION 2 ENTITIES {entities} 0 ENDSEC 0 EOF");
    pairs.split_whitespace().map(|word| format!("{word}\r\n")).collect()
}

#[test]
fn lines_arcs_and_bulges_of_a_dxf_are_joined_end_to_end() {
    // A half circle of radius 50 by an arc, closed by a bulge of the other half and a straight piece between.
    let entities = "0 ARC 8 ribs 10 0 20 0 40 50 50 0 51 180 0 LINE 8 ribs 10 -50 20 0 11 -50 21 -30 \
                    0 LWPOLYLINE 8 ribs 90 2 70 0 10 -50 20 -30 42 1 10 50 20 -30 0 LINE 8 ribs 10 50 20 -30 11 50 21 0";
    let found = lines(&dxf("", entities));
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].name.as_str(), found[0].closed), ("ribs", true));
    assert!((found[0].length - (2.0 * PI * 50.0 + 60.0)).abs() < 0.05, "{}", found[0].length);
    let rect = extent(&found[0]);
    assert!((rect.y1 - 50.0).abs() < 0.05 && (rect.y0 + 80.0).abs() < 0.05, "{rect:?}");
}

#[test]
fn a_dxf_says_its_unit_and_may_be_mirrored() {
    let found = lines(&dxf("9 $INSUNITS 70 1", "0 CIRCLE 8 0 10 1 20 2 40 3 210 0 220 0 230 -1"));
    let rect = extent(&found[0]);
    assert!((rect.center() - Point::new(-25.4, 50.8)).hypot() < 0.05, "{rect:?}");
    assert!((found[0].length - 2.0 * PI * 76.2).abs() < 0.05);
}

/// A quadratic spline with clamped knots is a parabola; half an ellipse is half of its axes.
#[test]
fn splines_ellipses_and_old_polylines() {
    let spline = "0 SPLINE 8 0 71 2 40 0 40 0 40 0 40 1 40 1 40 1 10 0 20 0 10 50 20 100 10 100 20 0";
    let found = lines(&dxf("", spline));
    for p in &found[0].points {
        let t = p.x / 100.0;
        assert!((p.y - 200.0 * t * (1.0 - t)).abs() < 0.2, "{p:?}");
    }
    let ellipse = "0 ELLIPSE 8 0 10 0 20 0 11 0 21 60 40 0.5 41 0 42 3.14159265358979";
    let rect = extent(&lines(&dxf("", ellipse))[0]);
    assert!((rect.height() - 120.0).abs() < 0.1 && (rect.width() - 30.0).abs() < 0.1, "{rect:?}");
    let old = "0 POLYLINE 8 0 66 1 70 1 0 VERTEX 10 0 20 0 0 VERTEX 10 10 20 0 0 VERTEX 10 10 20 10 0 SEQEND";
    let found = lines(&dxf("", old));
    assert!(found[0].closed && (found[0].length - (20.0 + 200.0_f64.sqrt())).abs() < 1e-6);
}

#[test]
fn nonsense_in_a_dxf_is_refused_with_a_sentence() {
    assert_eq!(refusal("1\n2\n3\n4\n"), VectorError::Neither);
    assert!(matches!(
        refusal("0\nSECTION\n2\nENTITIES\nno code\nx\n"),
        VectorError::DamagedDxf { line: 5, .. }
    ));
    assert!(matches!(refusal("0\nSECTION\n2\n"), VectorError::DamagedDxf { line: 3, .. }));
    assert_eq!(refusal(&dxf("", "0 TEXT 10 1 20 2")), VectorError::Nothing);
    assert!(matches!(refusal(&dxf("", "0 LINE 10 one 20 0 11 5 21 5")), VectorError::DamagedDxf { .. }));
}

#[test]
fn curves_without_end_are_none() {
    for entity in [
        "0 CIRCLE 10 0 20 0 40 1e300",
        "0 ARC 10 0 20 0 40 1e300 50 0 51 90",
        "0 ELLIPSE 10 0 20 0 11 1e300 21 0 40 1",
    ] {
        assert_eq!(refusal(&dxf("", entity)), VectorError::Nothing);
    }
    for shape in [
        "<circle r=\"1e300\"/>",
        "<path d=\"M0 0A1e300 1e300 0 0 1 1e300 9\"/>",
        "<rect width=\"1e99\" height=\"9\" rx=\"1e98\"/>",
    ] {
        assert!(
            read_vector(format!("<svg>{shape}</svg>").as_bytes(), 2.0)
                .is_ok_and(|d| d.lines[0].points.len() < 99)
                || refusal(&format!("<svg>{shape}</svg>")) == VectorError::Nothing
        );
    }
}

proptest! {
    #[test]
    fn no_text_upsets_the_readers(text in any::<String>(), spacing in any::<f64>()) {
        for text in [text.clone(), format!("<svg>{text}</svg>"), format!("<svg><path d=\"M0 0H9V9Z\" data-button-feet=\"{text}\" style=\"transform:{text}\"/></svg>"), format!("<svg><path d=\"M0 0{text}\" transform=\"{text}\"/></svg>"), format!("0\nSECTION\n2\nENTITIES\n0\n{text}")] {
            if let Err(error) = read_vector(text.as_bytes(), spacing) { prop_assert!(error.to_string().ends_with('.')); }
            let _ = read_vector(text.as_bytes(), 3.0);
        }
    }

    #[test]
    fn no_jumble_of_what_svg_paths_are_made_of_upsets_the_reader(
        pieces in prop::collection::vec(prop_oneof![
            Just("M"), Just("L"), Just("A"), Just("C"), Just("S"), Just("Q"), Just("T"), Just("H"), Just("v"), Just("z"), Just(" "),
            Just(","), Just("-"), Just("1e9"), Just("1e300"), Just("0"), Just("12.5"), Just("1 0 0 1"), Just("."), Just("300"), Just("1e-9"),
        ], 0..60)
    ) {
        let text = format!("<svg><path d=\"M 1 1 {}\"/></svg>", pieces.concat());
        if let Ok(drawing) = read_vector(text.as_bytes(), 1.0) {
            prop_assert!(drawing.lines.iter().flat_map(|l| &l.points).all(|p| p.x.is_finite() && p.y.is_finite()));
        }
    }

    #[test]
    fn no_jumble_of_what_a_dxf_is_made_of_upsets_the_reader(
        words in prop::collection::vec(prop_oneof![
            Just("0"), Just("LINE"), Just("SPLINE"), Just("LWPOLYLINE"), Just("POLYLINE"), Just("VERTEX"), Just("ARC"), Just("ELLIPSE"),
            Just("10"), Just("20"), Just("40"), Just("41"), Just("42"), Just("71"), Just("70"), Just("1"), Just("-3.5"), Just("1e8"), Just("1e300"), Just("230"), Just("3"),
        ], 0..120)
    ) {
        if let Ok(drawing) = read_vector(dxf("", &words.join(" ")).as_bytes(), 1.0) {
            prop_assert!(drawing.lines.iter().flat_map(|l| &l.points).all(|p| p.x.is_finite() && p.y.is_finite()));
        }
    }
}
