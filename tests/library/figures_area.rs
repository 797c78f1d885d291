//! A scene on a drawing area of plotters: here a plain buffer of pixels that can set one at a time.

use plotters::drawing::IntoDrawingArea;
use plotters_backend::{BackendColor, BackendCoord, DrawingBackend, DrawingErrorKind};
use std::convert::Infallible;
use wedgebook::figures::draw::{BLUE, GREEN, INK, Paint, Path, Rect, Scene, Stroke, Text};

/// Width, height and the colour of each pixel.
struct Pixels<'a>((u32, u32), &'a mut Vec<(u8, u8, u8)>);

type Done = Result<(), DrawingErrorKind<Infallible>>;

impl DrawingBackend for Pixels<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.0
    }

    fn ensure_prepared(&mut self) -> Done {
        Ok(())
    }

    fn present(&mut self) -> Done {
        Ok(())
    }

    fn draw_pixel(&mut self, (x, y): BackendCoord, color: BackendColor) -> Done {
        let (width, height) = self.0;
        let place = u32::try_from(x).ok().zip(u32::try_from(y).ok());
        if let Some((x, y)) = place.filter(|p| p.0 < width && p.1 < height) {
            let below = &mut self.1[(y * width + x) as usize];
            let mix = |new: u8, old: u8| {
                (f64::from(new) * color.alpha + f64::from(old) * (1.0 - color.alpha)).round() as u8
            };
            let (red, green, blue) = color.rgb;
            *below = (mix(red, below.0), mix(green, below.1), mix(blue, below.2));
        }
        Ok(())
    }
}

/// The scene on an area of so many pixels, which began all red.
fn drawn(scene: &Scene, (width, height): (u32, u32)) -> impl Fn(f64, f64) -> (u8, u8, u8) {
    let mut buffer = vec![(255, 0, 0); (width * height) as usize];
    scene.draw_on(&Pixels((width, height), &mut buffer).into_drawing_area()).unwrap();
    move |x, y| buffer[y as usize * width as usize + x as usize]
}

const WHITE: (u8, u8, u8) = (255, 255, 255);

#[test]
fn a_ring_keeps_its_hole_and_a_clip_its_edge() {
    let mut scene = Scene::new(100.0, 50.0, "", "");
    let mut ring = Path::rect(Rect { x: 10.0, y: 10.0, width: 30.0, height: 30.0 });
    // The other way round: a hole.
    ring.add_polygon([(20.0, 20.0), (20.0, 30.0), (30.0, 30.0), (30.0, 20.0)]);
    scene.shape(ring, Paint::filled(BLUE));
    scene.clipped(Rect { x: 60.0, y: 0.0, width: 20.0, height: 50.0 }, |scene| {
        scene.shape(Path::line([(50.0, 25.0), (100.0, 25.0)]), Stroke::solid(GREEN, 4.0));
        let wide = Rect { x: 50.0, y: 40.0, width: 50.0, height: 5.0 };
        scene.shape(Path::rect(wide), Paint::filled(GREEN));
    });
    let at = drawn(&scene, (300, 150));
    let at = |x: f64, y: f64| at(3.0 * x, 3.0 * y);
    let (blue, green) = ((0x00, 0x72, 0xB2), (0x00, 0x9E, 0x73));
    assert_eq!([at(15.0, 25.0), at(25.0, 15.0), at(35.0, 35.0)], [blue; 3]);
    assert_eq!([at(25.0, 25.0), at(45.0, 25.0), at(1.0, 1.0)], [WHITE; 3]);
    for y in [25.0, 42.0] {
        assert_eq!([at(55.0, y), at(70.0, y), at(85.0, y)], [WHITE, green, WHITE]);
    }
}

#[test]
fn dashes_have_gaps_and_letters_have_ink() {
    let mut scene = Scene::new(100.0, 40.0, "", "");
    let dashes = Stroke::solid(BLUE, 2.0).dashed(&[8.0, 3.5]);
    scene.shape(Path::line([(10.0, 30.0), (90.0, 30.0)]), dashes);
    scene.text(Text::new("log H", (10.0, 20.0), 14.0));
    let at = drawn(&scene, (200, 80));
    let row: Vec<bool> = (20..180).map(|x| at(f64::from(x), 60.0) == WHITE).collect();
    // 80 units of 11.5 each: seven dashes, six gaps between them and the last.
    assert_eq!(row.windows(2).filter(|pair| pair[0] != pair[1]).count(), 13);
    let ink = (INK.red, INK.green, INK.blue);
    let letters = (0..200).flat_map(|x| (0..50).map(move |y| (x, y)));
    let dark = letters.filter(|(x, y)| at(f64::from(*x), f64::from(*y)) == ink).count();
    assert!(dark > 60, "{dark} pixels of ink");
}

#[test]
fn an_area_of_another_shape_holds_the_whole_picture() {
    let mut scene = Scene::new(100.0, 50.0, "", "");
    scene.shape(
        Path::rect(Rect { x: 90.0, y: 40.0, width: 10.0, height: 10.0 }),
        Paint::filled(BLUE),
    );
    let at = drawn(&scene, (100, 200));
    assert_eq!(at(95.0, 45.0), (0x00, 0x72, 0xB2));
    assert_eq!(at(50.0, 150.0), (255, 0, 0), "below the picture nothing is drawn");
}
