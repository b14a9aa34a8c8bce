//! Orders that cannot be carried out, and states that cannot be a start.

use super::super::{Action, HowRead, Program, ServiceError, simulate, simulate_from};
use super::{carry_out, open, plain, rest};
use crate::error::Coded;

fn refused(action: Action) -> String {
    simulate(&plain(""), &[action.into()]).unwrap_err().to_string()
}

#[test]
fn a_stop_of_nothing() {
    let message = refused(Action::Stop { rate: "drip".into() });
    assert!(message.contains("no active rate is labelled `drip`"), "{message}");
}

#[test]
fn another_stick_that_is_not_there() {
    let message = refused(Action::Read(HowRead { stick: Some("spare".into()), ..HowRead::default() }));
    assert!(message.contains("no stick `spare`"), "{message}");
}

#[test]
fn plugs_opened_twice_or_closed_unopened() {
    let twice = simulate(&plain(""), &[open("main"), open("main")]).unwrap_err().to_string();
    assert!(twice.contains("events[1] OpenPlug: this plug is open already"), "{twice}");
    assert!(refused(Action::ClosePlug { plug: None }).contains("no plug is open"));
}

#[test]
fn states_that_cannot_be_a_start() {
    let circuit = plain("");
    let end = carry_out(&circuit, &[rest("1 min")]).state(1).unwrap();
    let mut negative = end.clone();
    negative.contents[0].mass[0] = -1.0;
    let mut hot = end.clone();
    hot.contents[0].temperature_c = 400.0;
    let other = super::full("sound");
    for (start, circuit, says) in
        [(&negative, &circuit, "sump holds -1"), (&hot, &circuit, "at 400 degC"), (&end, &other, "its places are")]
    {
        let error = simulate_from(circuit, &[rest("1 s")], start).unwrap_err();
        assert!(matches!(error, crate::Error::Service(ServiceError::WrongStart { .. })));
        assert_eq!(error.code(), "service.wrong_start");
        assert!(error.to_string().contains(says), "{error}");
    }
    assert!(Program::compile_from(&circuit, &[], &end).is_ok());
}

/// A plug without a heel needs a sump with a plan form.
#[test]
fn a_table_sump_says_no_heel() {
    let spec = plain("").to_json().replace(r#","heel":"0.2 L""#, "").replace(
        r#"{"box":{"length":"300 mm","width":"150 mm","height":"200 mm"}}"#,
        r#"{"table":{"level_mm":[0,200],"volume_l":[0,9]}}"#,
    );
    let error = crate::circuit::Circuit::loads(&spec, &|_| Err("no files".into())).unwrap_err();
    assert!(error.to_string().contains("plugs.main.heel"), "{error}");
}

/// A geometry error of pools reaches the user as an error of the service.
#[test]
fn what_the_geometry_says_of_pools() {
    let error = super::super::machine::lies_badly(crate::geometry::GeometryError::NoSuchBasin { basin: 3, basins: 2 });
    assert_eq!(error.code(), "service.pools");
    assert!(error.to_string().starts_with("sump: "), "{error}");
}
