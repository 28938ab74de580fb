//! How a time grows with a size.

/// Slope of the straight line through the points on doubly logarithmic paper, by least squares.
pub fn power(points: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = points.iter().map(|&(x, y)| (x.ln(), y.ln())).collect();
    let n = logs.len() as f64;
    let (sx, sy) = logs.iter().fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    let (mx, my) = (sx / n, sy / n);
    let over: f64 = logs.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
    let under: f64 = logs.iter().map(|(x, _)| (x - mx) * (x - mx)).sum();
    over / under
}
