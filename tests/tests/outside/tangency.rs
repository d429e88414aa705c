//! Where one arc hands over to the next.

use super::edges::{reconciled, true_edges};
use ribline_geometry::outline::{Outline, Run};
use ribline_geometry::recipe::built_in;

/// Circles that touch, inside or outside, have their centres and the point of contact in one line: Euclid, Elements
/// III.11 and III.12. To 1e-9 mm, which is some hundred times the rounding of figures of this size.
fn every_joint_is_a_contact(name: &str, outline: &Outline) {
    for run in Run::ALL {
        for pair in outline.run(run).arcs().windows(2) {
            let (one, two) = (pair[0], pair[1]);
            let contact = one.at(1.0);
            let place = format!("{name}, {run}, at {contact}");
            assert!(contact.distance(two.at(0.0)) < 1e-9, "{place}: the arcs do not meet");
            for arc in [one, two] {
                assert!((arc.centre.distance(contact) - arc.radius).abs() < 1e-9, "{place}: {arc:?}");
            }
            let apart = one.centre.distance(two.centre);
            let inside = (one.radius - two.radius).abs();
            let outside = one.radius + two.radius;
            let wanted = if one.sweep * two.sweep > 0.0 { inside } else { outside };
            assert!((apart - wanted).abs() < 1e-9, "{place}: centres {apart} apart, not {wanted}");
            if apart < 1e-6 {
                // Two neighbours held at one ratio: the same circle goes on, and any line through its centre will do.
                continue;
            }
            let line = (two.centre - one.centre) / apart;
            let off = line.cross(contact - one.centre);
            assert!(off.abs() < 1e-9, "{place}: the contact is {off} mm off the line of centres");
        }
    }
}

#[test]
fn arcs_of_the_built_in_recipes_touch_as_euclid_has_it() {
    for recipe in built_in::built_in() {
        let drawn = recipe.evaluate().expect("a built-in recipe");
        every_joint_is_a_contact(&recipe.title, &drawn.outline);
    }
}

#[test]
fn arcs_of_edges_known_and_reconciled_touch_as_euclid_has_it() {
    for (name, edge) in true_edges() {
        every_joint_is_a_contact(&name, &edge);
    }
    for case in reconciled() {
        every_joint_is_a_contact(&case.name, &case.result.edge.outline);
    }
}
