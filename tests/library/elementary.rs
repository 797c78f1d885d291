//! The elementary functions against values of another library, and their digits on this machine against those of all.

use wedgebook::elementary::*;

type One = fn(f64) -> f64;
type Two = fn(f64, f64) -> f64;

const OF_ONE: [(&str, One, (f64, f64)); 13] = [
    ("antilog", antilog, (-4.0, 4.0)),
    ("atan", atan, (-6.0, 6.0)),
    ("cbrt", cbrt, (0.0, 50.0)),
    ("cos", cos, (-7.0, 7.0)),
    ("exp", exp, (-30.0, 8.0)),
    ("exp_m1", exp_m1, (-3.0, 3.0)),
    ("ln", ln, (0.001, 60.0)),
    ("ln_1p", ln_1p, (-0.9, 5.0)),
    ("log10", log10, (0.001, 6400.0)),
    ("log2", log2, (0.001, 400.0)),
    ("sin", sin, (-7.0, 7.0)),
    ("sinh", sinh, (-3.0, 3.0)),
    ("tan", tan, (-1.5, 1.5)),
];
const OF_TWO: [(&str, Two); 3] = [("atan2", atan2), ("hypot", hypot), ("pow", pow)];

#[test]
fn values_of_another_library() {
    let table = include_str!("elementary.csv");
    let mut seen = 0;
    for row in table.lines().skip(3) {
        let cells: Vec<&str> = row.split(',').collect();
        let [x, y, value] = [cells[1], cells[2], cells[3]].map(|cell| cell.parse::<f64>());
        let (x, value) = (x.unwrap(), value.unwrap());
        let one = OF_ONE.iter().find(|f| f.0 == cells[0]).map(|f| f.1(x));
        let two = OF_TWO.iter().find(|f| f.0 == cells[0]).map(|f| f.1(x, y.unwrap()));
        let found = one.or(two).unwrap();
        // One unit of the last digit, and what the value itself is rounded by.
        let unit = value.abs().next_up() - value.abs();
        let most = if cells[0] == "antilog" { 2.0 } else { 1.0 };
        assert!((found - value).abs() <= most * unit, "{row}: {found:?}");
        seen += 1;
    }
    assert_eq!(seen, 12 * (OF_ONE.len() + OF_TWO.len()));
    let (sine, cosine) = sin_cos(0.7);
    assert_eq!((sine, cosine), (sin(0.7), cos(0.7)));
}

/// The bits of ten thousand values of each function: what one machine finds, all must.
#[test]
fn the_digits_are_those_of_every_machine() {
    let mut sum = 0_u64;
    let mut add =
        |value: f64| sum = sum.rotate_left(5).wrapping_mul(0x2545_f491_4f6c_dd1d) ^ value.to_bits();
    for (_, of, (low, high)) in OF_ONE {
        (0..10_000).for_each(|k| add(of(low + (high - low) * (f64::from(k) + 0.5) / 10_000.0)));
    }
    for (_, of) in OF_TWO {
        (0..10_000)
            .for_each(|k| add(of(0.01 + f64::from(k) / 700.0, f64::from(k % 97) / 16.0 - 3.0)));
    }
    assert_eq!(sum, 0x7a24_c94a_66b4_e4b1, "{sum:#x}");
}
