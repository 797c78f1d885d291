//! A frame beside the tablet: which side is which, sizes, layouts, what is refused.

use crate::light_box::{Frame, Rendered, Scene};
use wedgebook::picture::Frames;
use wedgebook::picture::frame::{
    FrameAsked, FrameReading, Lying, NoFrame, PrintingDensities, Shows, Side,
};
use wedgebook::picture::layout::Layout;
use wedgebook::picture::photometry::Known;
use wedgebook::picture::place::Quad;

fn scene(frame: Frame) -> Scene {
    Scene {
        width: 720,
        height: 450,
        apart: 30.0,
        frame: Some(frame),
        flat_with_mask: true,
        seed: 12,
        ..Scene::default()
    }
}

fn read(
    (scene, rendered): (&Scene, &Rendered),
    layout: Option<&Layout>,
    size: (f64, f64),
    shows: Shows,
) -> Result<FrameReading, NoFrame> {
    let tablet: Vec<Known> =
        scene.tablet.iter().map(|d| Known { density: *d, sigma: scene.certificate_sd }).collect();
    let frames =
        Frames { picture: &rendered.image, flat: Some(&rendered.flat), dark: Some(&rendered.dark) };
    FrameReading::of(&frames, &FrameAsked { tablet: &tablet, layout, size, shows })
}

/// Mean density along a side.
fn along(reading: &FrameReading, side: Side) -> f64 {
    let (length, width) = reading.place.size;
    let cells = reading.cells.iter().filter(|cell| match side {
        Side::Left => cell.x < 3.0,
        Side::Right => cell.x > length - 3.0,
        Side::Lower => cell.y < 3.0,
        Side::Upper => cell.y > width - 3.0,
    });
    let found: Vec<f64> = cells.map(|cell| cell.stated.found().unwrap().density).collect();
    found.iter().sum::<f64>() / found.len() as f64
}

/// The densest side.
fn densest(reading: &FrameReading) -> Side {
    let order = |a: &Side, b: &Side| along(reading, *a).total_cmp(&along(reading, *b));
    Side::ALL.into_iter().max_by(order).unwrap()
}

#[test]
fn film_that_runs_down_the_picture_has_its_left_side_at_the_top() {
    // The streak of the renderer's left side, in a frame that stands upright in the picture.
    let standing = |streaks| Frame { length: 24.0, width: 36.0, streaks, ..Frame::even(0.8) };
    let scene = Scene { view: 180.0, ..scene(standing([0.2, 0.0, 0.0, 0.0])) };
    let rendered = scene.render();
    let level = read((&scene, &rendered), None, (24.0, 36.0), Shows::Even).unwrap();
    assert_eq!((level.place.lying, densest(&level)), (Lying::Level, Side::Left));
    let upright = read((&scene, &rendered), None, (36.0, 24.0), Shows::Even).unwrap();
    assert_eq!((upright.place.lying, densest(&upright)), (Lying::Upright, Side::Lower));
    assert_eq!((upright.columns, upright.rows), (level.rows, level.columns));
    // As the corners say: turned by half.
    let mut layout = upright.layout.clone();
    layout.strip.corners = Some(upright.place.area.turned().0);
    let turned = read((&scene, &rendered), Some(&layout), (36.0, 24.0), Shows::Even).unwrap();
    assert_eq!((turned.place.lying, densest(&turned)), (Lying::AsGiven, Side::Upper));
}

#[test]
fn a_square_frame_has_a_grid_of_its_own() {
    let square = Frame { length: 56.0, width: 56.0, ..Frame::even(0.9) };
    let scene = Scene { view: 230.0, width: 920, height: 560, ..scene(square) };
    let rendered = scene.render();
    let reading = read((&scene, &rendered), None, (56.0, 56.0), Shows::Even).unwrap();
    assert_eq!((reading.columns, reading.rows, reading.cells.len()), (11, 11, 121));
    assert!((reading.cell.0 - 54.0 / 11.0).abs() < 1e-9 && reading.margin == 1.0);
    let first = &reading.cells[0];
    assert!((first.x - (1.0 + 27.0 / 11.0)).abs() < 1e-9 && (first.y - first.x).abs() < 1e-9);
    let sigma = reading.sigma().unwrap();
    for cell in &reading.cells {
        let off = cell.stated.found().unwrap().density - 0.9;
        assert!(off.abs() < 0.008 + 5.0 * sigma, "{cell:?} {sigma}");
    }
    assert!(sigma < 0.003, "{sigma}");
    let why = read((&scene, &rendered), None, (84.0, 56.0), Shows::Even).unwrap_err();
    assert!(matches!(why, NoFrame::Shape { found, .. } if (found - 1.0).abs() < 0.02), "{why}");
}

#[test]
fn a_flat_frame_of_the_bare_box_is_refused() {
    let scene = Scene { flat_with_mask: false, ..scene(Frame::even(0.8)) };
    let rendered = scene.render();
    assert!(read((&scene, &rendered), None, (36.0, 24.0), Shows::Even).is_err());
    // With a layout it could be read, and the halo of the mask would be taken for a streak.
    let opening = rendered.set_up.opening().unwrap().map(|[x, y]| (x, y));
    let tablet = &rendered.tablet;
    let (first, last) = (tablet[0].corners, tablet[tablet.len() - 1].corners);
    let tablet = Quad([first[0], first[3], last[2], last[1]].map(|[x, y]| (x, y)));
    let layout = Layout::of_areas((720, 450), None, tablet, Quad(opening));
    let why = read((&scene, &rendered), Some(&layout), (36.0, 24.0), Shows::Even).unwrap_err();
    assert_eq!(why, NoFrame::NoMask { in_flat: true });
}

#[test]
fn base_plus_fog_is_read_in_a_third_opening() {
    let with = |rebate| {
        let scene = scene(Frame { rebate, ..Frame::scene(0.9, 0.2, 2.0) });
        let rendered = scene.render();
        let reading = read((&scene, &rendered), None, (36.0, 24.0), Shows::Scene).unwrap();
        PrintingDensities::of(&reading).unwrap()
    };
    let (base, sigma) = with(true).base_plus_fog.unwrap();
    assert!((base - 0.3).abs() < 0.01 && sigma < 0.01, "{base} {sigma}");
    let without = with(false);
    assert_eq!(without.base_plus_fog, None);
    assert!(without.range() > 0.4 && without.low.density > 0.4);
    assert!(without.range_sigma < without.low.sigma.hypot(without.high.sigma) + 1e-9);
}
