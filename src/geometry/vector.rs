//! Three-component vectors as plain arrays (SI).

use crate::numeric::text::as_given;

/// A point or a direction in the body frame, in metres or dimensionless.
pub(crate) type Vec3 = [f64; 3];

#[inline]
pub(crate) fn sub(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

#[inline]
pub(crate) fn add(a: Vec3, b: Vec3) -> Vec3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

#[inline]
pub(crate) fn scale(a: Vec3, k: f64) -> Vec3 {
    [a[0] * k, a[1] * k, a[2] * k]
}

#[inline]
pub(crate) fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

#[inline]
pub(crate) fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

#[inline]
pub(crate) fn norm(a: Vec3) -> f64 {
    dot(a, a).sqrt()
}

/// Metres to millimetres, for messages.
pub(crate) fn mm(a: Vec3) -> Vec3 {
    scale(a, 1e3)
}

/// `(1.000, 2.000, 3.000) mm`, for messages.
pub(crate) fn text_mm(p: &Vec3) -> String {
    // Beyond a gigametre there are no thousandths.
    let text = |c: f64| if c.abs() < 1e12 { format!("{c:.3}") } else { as_given(c) };
    format!("({}, {}, {}) mm", text(p[0]), text(p[1]), text(p[2]))
}
