//! Stop bath and tank wash by US Army, SS0509-8, p. 24 (read).

use crate::navedtra_14209::value;
use std::path::Path;
use wedgebook::session::Plan;
use wedgebook::session::plan::Washing;
use wedgebook::session::washing::MINUTES_PER_CHANGE;

/// A plan that says nothing of the stop bath and washes by changes of water.
const PLAN: &str = r#"
pairing = "pairing.toml"
film = [{ format = "120", count = 1 }]
vessel = { solution_ml = 500, holds = { "120" = 1 } }
one_shot = { dilution = "1+6" }
temperature = { celsius = 20 }
fix = { clearing_seconds = 40 }
wash = { method = "changes", retained_ml = 20, total_ml = 500 }
"#;

#[test]
fn what_a_plan_leaves_out_is_the_handbooks() {
    let plan = Plan::parse(Path::new("plan.toml"), PLAN).unwrap();
    let (low, high) = (value("stop_bath_time_low"), value("stop_bath_time_high"));
    assert!(plan.stop.seconds.assumed && (low..=high).contains(&plan.stop.seconds.value));
    let Washing::Changes { minutes_each, .. } = plan.wash.method else {
        panic!("{:?}", plan.wash);
    };
    assert!(minutes_each.assumed);
    assert_eq!(minutes_each.value, value("tank_wash_dump_interval"));
    assert_eq!(minutes_each.value, MINUTES_PER_CHANGE);
}
