//! Which films can share a tank: those whose times agree within what no one could see.

/// Times that differ by no more than this share are one (assumed; common practice, no source): contrast
/// then changes by about 0.01.
pub const NO_ONE_SEES: f64 = 0.03;
/// A film whose own time is less certain than that may get any time within its 95 % interval, but none that
/// differs by more than this share (assumed; common practice, no source).
pub const MOST: f64 = 0.06;

/// The time that a film asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// Time in **minutes**.
    pub minutes: f64,
    /// Half the width of the 95 % interval of its logarithm, by the pairing alone.
    pub ln_half_width: f64,
}

impl Asked {
    /// The share by which its time may differ.
    #[must_use]
    pub const fn tolerance(&self) -> f64 {
        self.ln_half_width.min(MOST).max(NO_ONE_SEES)
    }

    /// The shortest and the longest time that it may get.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let share = self.tolerance();
        (self.minutes / (1.0 + share), self.minutes * (1.0 + share))
    }
}

/// Films that can share a tank, by their places in the list: the fewest groups, the shortest time first.
#[must_use]
pub fn groups(asked: &[Asked]) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..asked.len()).collect();
    order.sort_by(|a, b| asked[*a].range().1.total_cmp(&asked[*b].range().1));
    let mut made: Vec<(f64, Vec<usize>)> = Vec::new();
    for at in order {
        // The longest time that all films of the last group may get: if this one may have it too, it joins.
        match made.last_mut() {
            Some((longest, group)) if asked[at].range().0 <= *longest => group.push(at),
            _ => made.push((asked[at].range().1, vec![at])),
        }
    }
    let mut groups: Vec<Vec<usize>> = made.into_iter().map(|(_, group)| group).collect();
    for group in &mut groups {
        group.sort_by(|a, b| asked[*a].minutes.total_cmp(&asked[*b].minutes));
    }
    groups
}

/// The time for films that share a tank, in **minutes**: half-way between the shortest and the longest that
/// they ask for, as a ratio, and within what each may get.
#[must_use]
pub fn together(asked: &[Asked]) -> Option<f64> {
    let shortest = asked.iter().map(|a| a.minutes).reduce(f64::min)?;
    let longest = asked.iter().map(|a| a.minutes).reduce(f64::max)?;
    let least = asked.iter().map(|a| a.range().0).reduce(f64::max)?;
    let most = asked.iter().map(|a| a.range().1).reduce(f64::min)?;
    let half_way = (shortest * longest).sqrt();
    Some(if least <= most { half_way.clamp(least, most) } else { half_way })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn asked(minutes: f64, ln_half_width: f64) -> Asked {
        Asked { minutes, ln_half_width }
    }

    #[test]
    fn times_within_three_per_cent_share() {
        let all = [asked(10.0, 0.01), asked(12.0, 0.01), asked(10.5, 0.01), asked(12.8, 0.01)];
        // 10 and 10.5 meet half-way, 12 and 12.8 do not: 6.7 % apart.
        assert_eq!(groups(&all), [vec![0, 2], vec![1], vec![3]]);
        let time = together(&[all[0], all[2]]).unwrap();
        assert!((time - 105.0_f64.sqrt()).abs() < 1e-12);
        // An uncertain time takes part in more, a very uncertain one not in all.
        assert_eq!(groups(&[asked(12.0, 0.05), asked(12.8, 0.01)]), [vec![0, 1]]);
        assert_eq!(groups(&[asked(12.0, 0.5), asked(13.8, 0.01)]).len(), 2);
        assert_eq!((groups(&[]), together(&[])), (Vec::<Vec<usize>>::new(), None));
    }

    proptest! {
        /// Every film is in one group, and the time of its group is within what it may get.
        #[test]
        fn nobody_gets_a_time_that_shows(
            times in prop::collection::vec((4.0..20.0_f64, 0.0..0.2_f64), 1..12)
        ) {
            let all: Vec<Asked> = times.iter().map(|(m, h)| asked(*m, *h)).collect();
            let made = groups(&all);
            let mut seen: Vec<usize> = made.concat();
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..all.len()).collect::<Vec<_>>());
            for group in &made {
                let members: Vec<Asked> = group.iter().map(|at| all[*at]).collect();
                let time = together(&members).unwrap();
                for one in &members {
                    let share = (time / one.minutes).max(one.minutes / time) - 1.0;
                    prop_assert!(share <= one.tolerance() + 1e-9, "{share} {one:?}");
                    prop_assert!(share <= MOST + 1e-9);
                }
            }
        }
    }
}
