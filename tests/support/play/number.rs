//! Exact numbers as they stand in JSON.
use num_bigint::BigInt;
use num_rational::BigRational;
use serde_json::Value;

/// `p/q` or a whole number.
pub fn fraction(text: &str) -> BigRational {
    let whole = |t: &str| t.parse::<BigInt>().unwrap_or_else(|_| panic!("no whole number: {t}"));
    match text.split_once('/') {
        Some((p, q)) => BigRational::new(whole(p), whole(q)),
        None => BigRational::from_integer(whole(text)),
    }
}

/// A decimal as written, so that 0.1 is 1/10.
pub fn decimal(text: &str) -> BigRational {
    let (digits, power) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
    let (whole, after) = digits.split_once('.').unwrap_or((digits, ""));
    let power: i32 = power.parse::<i32>().expect("a power") - i32::try_from(after.len()).expect("a short decimal");
    let ten = BigRational::from_integer(BigInt::from(10));
    BigRational::from_integer(format!("{whole}{after}").parse().expect("digits")) * ten.pow(power)
}

/// The chance of a row: its fraction, or else its decimal.
pub fn chance(row: &Value) -> BigRational {
    match row.get("fraction").and_then(Value::as_str) {
        Some(text) => fraction(text),
        None => decimal(&row["chance"].to_string()),
    }
}

/// Nearest `f64`, also far below what the parts of the fraction can hold.
pub fn to_f64(value: &BigRational) -> f64 {
    let (p, q) = (value.numer(), value.denom());
    let up = 70 + i64::try_from(q.bits()).expect("a number that fits")
        - i64::try_from(p.bits()).expect("a number that fits");
    let scaled: BigInt = if up >= 0 { (p << up) / q } else { p / (q << -up) };
    let digits: f64 = scaled.to_string().parse().expect("digits are a number");
    // In two halves, since 2^-1100 alone is nothing.
    let half = i32::try_from(up / 2).expect("a number that fits");
    let rest = i32::try_from(up).expect("a number that fits") - half;
    digits / 2f64.powi(half) / 2f64.powi(rest)
}
