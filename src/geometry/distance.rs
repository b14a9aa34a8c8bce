//! How far two triangles are apart.

use super::vector::{Vec3, add, cross, dot, norm, scale, sub};

/// A triangle's corners.
pub(crate) type Triangle = [Vec3; 3];

/// Smallest distance between two triangles, 0 when they meet, and the place on the first where it is.
pub(crate) fn between(a: &Triangle, b: &Triangle) -> (f64, Vec3) {
    let mut best = (f64::INFINITY, a[0]);
    let mut offer = |distance: f64, place: Vec3| {
        if distance < best.0 {
            best = (distance, place);
        }
    };
    for i in 0..3 {
        for (one, other) in [(a, b), (b, a)] {
            let near = nearest_on_triangle(other, one[i]);
            offer(norm(sub(near, one[i])), one[i]);
            if let Some(place) = pierces(one[i], one[(i + 1) % 3], other) {
                offer(0.0, place);
            }
        }
        for j in 0..3 {
            let (p, q) = nearest_on_segments([a[i], a[(i + 1) % 3]], [b[j], b[(j + 1) % 3]]);
            offer(norm(sub(p, q)), p);
        }
    }
    best
}

/// Point of a triangle nearest to `p` (region by region, Ericson, Real-Time Collision Detection, 2005, 5.1.5).
pub(crate) fn nearest_on_triangle([a, b, c]: &Triangle, p: Vec3) -> Vec3 {
    let (ab, ac, ap) = (sub(*b, *a), sub(*c, *a), sub(p, *a));
    let (d1, d2) = (dot(ab, ap), dot(ac, ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return *a;
    }
    let bp = sub(p, *b);
    let (d3, d4) = (dot(ab, bp), dot(ac, bp));
    if d3 >= 0.0 && d4 <= d3 {
        return *b;
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        return add(*a, scale(ab, d1 / (d1 - d3)));
    }
    let cp = sub(p, *c);
    let (d5, d6) = (dot(ab, cp), dot(ac, cp));
    if d6 >= 0.0 && d5 <= d6 {
        return *c;
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        return add(*a, scale(ac, d2 / (d2 - d6)));
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 >= d3 && d5 >= d6 {
        return add(*b, scale(sub(*c, *b), (d4 - d3) / ((d4 - d3) + (d5 - d6))));
    }
    let sum = va + vb + vc;
    add(*a, add(scale(ab, vb / sum), scale(ac, vc / sum)))
}

/// Where a segment passes through a triangle.
fn pierces(p: Vec3, q: Vec3, [a, b, c]: &Triangle) -> Option<Vec3> {
    let normal = cross(sub(*b, *a), sub(*c, *a));
    let (hp, hq) = (dot(normal, sub(p, *a)), dot(normal, sub(q, *a)));
    if hp * hq > 0.0 || (hp - hq).abs() <= 0.0 {
        return None;
    }
    let x = add(p, scale(sub(q, p), hp / (hp - hq)));
    let inside = |u: Vec3, v: Vec3| dot(normal, cross(sub(v, u), sub(x, u))) >= 0.0;
    (inside(*a, *b) && inside(*b, *c) && inside(*c, *a)).then_some(x)
}

/// Nearest points of two segments (Ericson 2005, 5.1.9).
fn nearest_on_segments([p1, q1]: [Vec3; 2], [p2, q2]: [Vec3; 2]) -> (Vec3, Vec3) {
    let (d1, d2, r) = (sub(q1, p1), sub(q2, p2), sub(p1, p2));
    let (a, e, f) = (dot(d1, d1), dot(d2, d2), dot(d2, r));
    let share = |numerator: f64, denominator: f64| {
        if denominator > 0.0 { (numerator / denominator).clamp(0.0, 1.0) } else { 0.0 }
    };
    let (b, c) = (dot(d1, d2), dot(d1, r));
    let mut s = share(b * f - c * e, a * e - b * b);
    let mut t = b * s + f;
    if t < 0.0 {
        t = 0.0;
        s = share(-c, a);
    } else if t > e {
        t = 1.0;
        s = share(b - c, a);
    } else {
        t = share(t, e);
    }
    (add(p1, scale(d1, s)), add(p2, scale(d2, t)))
}

/// The pairs of triangles (one of each list) whose boxes come within `margin`, by a sweep along x.
pub(crate) fn near_pairs(a: &[Triangle], b: &[Triangle], margin: f64) -> Vec<(usize, usize)> {
    let boxes = |list: &[Triangle]| -> Vec<([Vec3; 2], usize)> {
        let mut out: Vec<_> = list.iter().enumerate().map(|(i, t)| (extent(t), i)).collect();
        out.sort_by(|p, q| p.0[0][0].total_cmp(&q.0[0][0]));
        out
    };
    let (a, b) = (boxes(a), boxes(b));
    let widest = b.iter().map(|(e, _)| e[1][0] - e[0][0]).fold(0.0, f64::max);
    let mut out = Vec::new();
    for (ea, i) in &a {
        let first = b.partition_point(|(eb, _)| eb[0][0] < ea[0][0] - margin - widest);
        for (eb, j) in b[first..].iter().take_while(|(eb, _)| eb[0][0] <= ea[1][0] + margin) {
            if (0..3).all(|k| eb[0][k] <= ea[1][k] + margin && ea[0][k] <= eb[1][k] + margin) {
                out.push((*i, *j));
            }
        }
    }
    out
}

fn extent(t: &Triangle) -> [Vec3; 2] {
    let pick = |f: fn(f64, f64) -> f64| [0, 1, 2].map(|k| f(f(t[0][k], t[1][k]), t[2][k]));
    [pick(f64::min), pick(f64::max)]
}

#[cfg(test)]
mod tests {
    use super::*;

    const A: Triangle = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]];

    fn apart(b: Triangle) -> f64 {
        let (d, _) = between(&A, &b);
        let (back, _) = between(&b, &A);
        assert!((d - back).abs() < 1e-15);
        d
    }

    #[test]
    fn distances_by_hand() {
        // Parallel above; corner over face; edge beside edge; piercing; sharing an edge; coplanar apart.
        assert!((apart(A.map(|p| [p[0], p[1], 0.5])) - 0.5).abs() < 1e-15);
        assert!((apart([[0.2, 0.2, 0.3], [0.2, 0.3, 2.0], [0.3, 0.2, 2.0]]) - 0.3).abs() < 1e-15);
        assert!((apart([[2.0, 0.0, 0.0], [3.0, 0.0, 0.0], [2.0, 1.0, 0.0]]) - 1.0).abs() < 1e-15);
        assert_eq!(apart([[0.2, 0.2, -1.0], [0.3, 0.2, 1.0], [0.2, 0.3, 1.0]]), 0.0);
        assert_eq!(apart([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]]), 0.0);
        assert!((apart([[0.5, -1.0, -0.5], [0.5, -1.0, 0.5], [0.5, -2.0, 0.0]]) - 1.0).abs() < 1e-15);
    }
}
