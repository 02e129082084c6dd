//! What price would be on a par with the others: a robust line through the logarithms of prices and measures.

/// A line through logarithms: `ln price = a + sum of b_k * ln measure_k`.
#[derive(Clone, Debug, PartialEq)]
pub struct FairPrice {
    /// `a`, then each `b`.
    weights: Vec<f64>,
    /// The middle distance of a price from the line, as a deviation: 0.1 is about a tenth of the price.
    pub spread: f64,
}

const ROUNDS: usize = 200;

impl FairPrice {
    /// The line with the least sum of absolute distances, so that some wrong prices do not bend it.
    ///
    /// # Formula
    /// Least absolute deviations by iterated weighting: each round solves the weighted normal equations with the weight
    /// of a point the inverse of its distance. `spread` is 1.4826 times the median distance, which is the deviation where
    /// distances are normal.
    ///
    /// # Shape
    /// One row of measures, all above 0, for each price, all above 0. With fewer than three prices for each weight the
    /// measures are taken with equal weight, and only `a` is fitted.
    ///
    /// # Cost
    /// 200 rounds over all rows times the square of the weights.
    ///
    /// # Source
    /// E. J. Schlossmacher, "An iterative technique for absolute deviations curve fitting", JASA 68 (1973); the median of
    /// absolute deviations as scale: F. R. Hampel, JASA 69 (1974). From memory.
    pub fn fit(prices: &[f64], measures: &[Vec<f64>]) -> Option<Self> {
        let size = measures.first()?.len() + 1;
        let logs: Vec<f64> = prices.iter().map(|price| price.ln()).collect();
        let rows: Vec<Vec<f64>> = measures.iter().map(|row| row.iter().map(|measure| measure.ln()).collect()).collect();
        if logs.len() != rows.len() || rows.iter().flatten().chain(&logs).any(|value| !value.is_finite()) {
            return None;
        }
        let weights = if logs.len() < 3 * size {
            let slope = 1.0 / (size - 1).max(1) as f64;
            let ends = logs.iter().zip(&rows).map(|(log, row)| log - slope * row.iter().sum::<f64>());
            let mut weights = vec![slope; size];
            weights[0] = median(ends.collect());
            weights
        } else {
            least_absolute(&logs, &rows, size)
        };
        let mut fit = Self { weights, spread: 0.0 };
        let distances = logs.iter().zip(&rows).map(|(log, row)| (log - fit.log(row)).abs());
        fit.spread = 1.4826 * median(distances.collect());
        Some(fit)
    }

    /// The price on a par for these measures.
    pub fn price(&self, measures: &[f64]) -> f64 {
        let logs: Vec<f64> = measures.iter().map(|measure| measure.ln()).collect();
        self.log(&logs).exp()
    }

    fn log(&self, row: &[f64]) -> f64 {
        self.weights[0] + self.weights[1..].iter().zip(row).map(|(weight, log)| weight * log).sum::<f64>()
    }
}

fn least_absolute(logs: &[f64], rows: &[Vec<f64>], size: usize) -> Vec<f64> {
    let mut distances = vec![1.0; logs.len()];
    let mut weights = vec![0.0; size];
    for _ in 0..ROUNDS {
        let mut left = vec![vec![0.0; size]; size];
        let mut right = vec![0.0; size];
        for ((log, row), distance) in logs.iter().zip(rows).zip(&distances) {
            let at = |index: usize| if index == 0 { 1.0 } else { row[index - 1] };
            let weight = 1.0 / f64::max(*distance, 1e-9);
            for i in 0..size {
                right[i] += weight * at(i) * log;
                for (j, cell) in left[i].iter_mut().enumerate() {
                    *cell += weight * at(i) * at(j);
                }
            }
        }
        // Measures that say the same twice leave a weight open: it is kept small.
        let ridge = 1e-12 * (0..size).map(|i| left[i][i]).fold(0.0, f64::max);
        for (i, row) in left.iter_mut().enumerate() {
            row[i] += ridge;
        }
        weights = solved(left, right);
        for ((log, row), distance) in logs.iter().zip(rows).zip(&mut distances) {
            *distance = (log - weights[0] - weights[1..].iter().zip(row).map(|(w, x)| w * x).sum::<f64>()).abs();
        }
    }
    weights
}

/// Gauss's elimination with the largest pivot.
fn solved(mut left: Vec<Vec<f64>>, mut right: Vec<f64>) -> Vec<f64> {
    let size = right.len();
    for column in 0..size {
        let pivot = (column..size).max_by(|a, b| left[*a][column].abs().total_cmp(&left[*b][column].abs()));
        let pivot = pivot.unwrap_or(column);
        left.swap(column, pivot);
        right.swap(column, pivot);
        if left[column][column] == 0.0 {
            continue;
        }
        let (pivot, chosen) = (left[column].clone(), right[column]);
        for (row, known) in
            left.iter_mut().zip(&mut right).enumerate().filter(|(at, _)| *at != column).map(|(_, row)| row)
        {
            let factor = row[column] / pivot[column];
            row.iter_mut().zip(&pivot).skip(column).for_each(|(value, other)| *value -= factor * other);
            *known -= factor * chosen;
        }
    }
    (0..size).map(|at| if left[at][at] == 0.0 { 0.0 } else { right[at] / left[at][at] }).collect()
}

/// The middle of some numbers; the mean of the two middle ones of an even count.
fn median(mut numbers: Vec<f64>) -> f64 {
    numbers.sort_by(f64::total_cmp);
    match numbers.len() {
        0 => 0.0,
        odd if odd % 2 == 1 => numbers[odd / 2],
        even => f64::midpoint(numbers[even / 2 - 1], numbers[even / 2]),
    }
}
