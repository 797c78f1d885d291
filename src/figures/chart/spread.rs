//! Labels on a line that may not touch: each as near as can be to where it belongs.

/// Places for labels that want to stand at `wanted`, at least `gap` apart, in the same order, and
/// between the two ends of `within`; the sum of the squared shifts is the least. Labels that want
/// the same place keep their order in the list.
///
/// `None` where they do not all fit, or where a number is not finite.
#[must_use]
pub fn spread(wanted: &[f64], gap: f64, within: (f64, f64)) -> Option<Vec<f64>> {
    let steps = wanted.len().saturating_sub(1) as f64;
    let fits = steps * gap <= within.1 - within.0;
    if !fits || gap < 0.0 || wanted.iter().any(|w| !w.is_finite()) {
        return None;
    }
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    // With the gaps taken out, the places need only not fall: groups that would are merged at
    // their mean.
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for (n, &label) in order.iter().enumerate() {
        groups.push((wanted[label] - gap * n as f64, 1));
        while let [.., (before, many), (mean, few)] = groups[..]
            && before > mean
        {
            let count = many + few;
            let merged = (before * many as f64 + mean * few as f64) / count as f64;
            groups.truncate(groups.len() - 2);
            groups.push((merged, count));
        }
    }
    let highest = within.1 - gap * steps;
    let level = groups
        .iter()
        .flat_map(|&(mean, count)| std::iter::repeat_n(mean.max(within.0).min(highest), count));
    let mut places = vec![0.0; wanted.len()];
    for (n, (&label, level)) in order.iter().zip(level).enumerate() {
        places[label] = level + gap * n as f64;
    }
    Some(places)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_room_stays_and_what_has_not_is_shared_out() {
        assert_eq!(spread(&[50.0, 10.0], 5.0, (0.0, 100.0)), Some(vec![50.0, 10.0]));
        let places = spread(&[20.0, 20.0, 20.0, 80.0], 10.0, (0.0, 100.0));
        assert_eq!(places, Some(vec![10.0, 20.0, 30.0, 80.0]));
    }

    #[test]
    fn the_ends_hold() {
        let places = spread(&[-9.0, 0.0, 99.0, 140.0], 10.0, (0.0, 100.0));
        assert_eq!(places, Some(vec![0.0, 10.0, 90.0, 100.0]));
    }

    #[test]
    fn too_many_are_refused() {
        assert_eq!(spread(&[1.0; 12], 10.0, (0.0, 100.0)), None);
        assert_eq!(spread(&[f64::NAN], 10.0, (0.0, 100.0)), None);
        assert_eq!(spread(&[], 10.0, (0.0, 100.0)), Some(vec![]));
    }
}
