//! Flat outlines: their checks and their division into triangles.

use super::super::error::GeometryError;

/// A point of an outline, in metres.
pub(crate) type Point2 = [f64; 2];

/// Twice the signed area of a triangle, positive when it turns left.
fn turn(a: Point2, b: Point2, c: Point2) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Signed area of an outline, positive when it runs counter-clockwise.
pub(crate) fn signed_area(outline: &[Point2]) -> f64 {
    (1..outline.len().saturating_sub(1)).map(|i| turn(outline[0], outline[i], outline[i + 1])).sum::<f64>() / 2.0
}

/// Refuses an outline that is not a simple polygon, naming the two sides that meet.
pub(crate) fn check_simple(what: &str, outline: &[Point2]) -> Result<(), GeometryError> {
    let n = outline.len();
    let mm = |p: Point2| p.map(|c| c * 1e3);
    let refuse = |first: usize, second: usize| {
        Err(GeometryError::OutlineCrosses { what: what.into(), first, second, near_mm: mm(outline[second]) })
    };
    for i in 0..n {
        let (a, b) = (outline[i], outline[(i + 1) % n]);
        if (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9 {
            return refuse(i, (i + 1) % n);
        }
        for j in i + 1..n {
            let (c, d) = (outline[j], outline[(j + 1) % n]);
            let neighbours = j == i + 1 || (j + 1) % n == i;
            if !neighbours && sides_meet(a, b, c, d) {
                return refuse(i, j);
            }
        }
    }
    Ok(())
}

fn sides_meet(a: Point2, b: Point2, c: Point2, d: Point2) -> bool {
    let (t1, t2, t3, t4) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    if t1 == 0.0 && t2 == 0.0 {
        let overlap = |i: usize| a[i].min(b[i]) <= c[i].max(d[i]) && c[i].min(d[i]) <= a[i].max(b[i]);
        return overlap(0) && overlap(1);
    }
    t1 * t2 <= 0.0 && t3 * t4 <= 0.0
}

/// Triangles of a simple counter-clockwise outline, by cutting off ears.
pub(crate) fn triangles(outline: &[Point2]) -> Vec<[usize; 3]> {
    let mut left: Vec<usize> = (0..outline.len()).collect();
    let mut out = Vec::with_capacity(outline.len());
    while left.len() > 3 {
        let n = left.len();
        let ear = (0..n).find(|&i| is_ear(outline, &left, i));
        // A simple outline always has an ear; rounding may hide it, then the flattest corner is cut.
        let i = ear.unwrap_or_else(|| flattest(outline, &left));
        out.push([left[(i + n - 1) % n], left[i], left[(i + 1) % n]]);
        left.remove(i);
    }
    out.push([left[0], left[1], left[2]]);
    out
}

fn corner(outline: &[Point2], left: &[usize], i: usize) -> [Point2; 3] {
    let n = left.len();
    [outline[left[(i + n - 1) % n]], outline[left[i]], outline[left[(i + 1) % n]]]
}

fn is_ear(outline: &[Point2], left: &[usize], i: usize) -> bool {
    let [a, b, c] = corner(outline, left, i);
    if turn(a, b, c) <= 0.0 {
        return false;
    }
    let inside = |p: Point2| turn(a, b, p) >= 0.0 && turn(b, c, p) >= 0.0 && turn(c, a, p) >= 0.0;
    let n = left.len();
    !(2..n - 1).any(|k| inside(outline[left[(i + k) % n]]))
}

fn flattest(outline: &[Point2], left: &[usize]) -> usize {
    let bend = |i: usize| {
        let [a, b, c] = corner(outline, left, i);
        turn(a, b, c).abs()
    };
    (0..left.len()).min_by(|i, j| bend(*i).total_cmp(&bend(*j))).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ears_fill_a_comb() {
        let comb = [
            [0.0, 0.0],
            [5.0, 0.0],
            [5.0, 3.0],
            [4.0, 3.0],
            [4.0, 1.0],
            [3.0, 1.0],
            [3.0, 3.0],
            [2.0, 3.0],
            [2.0, 1.0],
            [1.0, 1.0],
            [1.0, 3.0],
            [0.0, 3.0],
        ];
        check_simple("comb", &comb).unwrap();
        let parts = triangles(&comb);
        assert_eq!(parts.len(), 10);
        let areas: Vec<f64> = parts.iter().map(|t| signed_area(&t.map(|i| comb[i]))).collect();
        assert!(areas.iter().all(|a| *a > 0.0));
        assert!((areas.iter().sum::<f64>() - 11.0).abs() < 1e-12);
        assert!((signed_area(&comb) - 11.0).abs() < 1e-12);
    }

    #[test]
    fn a_bow_tie_is_refused() {
        let tie = [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.0]];
        let e = check_simple("section 2", &tie).unwrap_err();
        assert!(matches!(e, GeometryError::OutlineCrosses { first: 0, second: 2, .. }), "{e}");
    }
}
