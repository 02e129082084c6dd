//! Several dice as one total, or each as a roll of its own.
use super::Roll;

impl Roll {
    /// Whether what is needed is more than one of the dice can show.
    pub(in crate::understand) fn sums(&self) -> bool {
        let Some((_, faces)) = self.dice.as_deref().and_then(|dice| dice.split_once('d')) else { return false };
        let faces: u32 = faces.parse().unwrap_or(u32::MAX);
        self.keep.is_some()
            || self.modifier.is_some()
            || self.needs.iter().any(|needs| needs.trim_end_matches(['+', '-']).parse::<u32>().is_ok_and(|n| n > faces))
    }

    /// `four d10, 8 or more on each`: so many rolls of one die, and no total.
    pub(in crate::understand) fn part_dice(&mut self) {
        let Some((count, faces)) = self.dice.as_deref().and_then(|dice| dice.split_once('d')) else { return };
        let Some(count) = count.parse::<u64>().ok().filter(|count| *count > 1 && self.tries.is_none()) else { return };
        if faces.chars().all(|c| c.is_ascii_digit()) {
            (self.tries, self.dice) = (Some(count), Some(format!("1d{faces}")));
        }
    }
}
