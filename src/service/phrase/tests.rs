//! What is printed reads back to the same; what is not understood is refused with its place.

use proptest::prelude::*;

use super::super::event::{Action, Amount, Event, Face, Foreign, HowRead, When};
use super::super::{Service, ServiceError};
use super::VERBS;
use crate::circuit::spec::AttitudeSpec;
use crate::error::Coded;
use crate::units::{Dimension, Value, unit_of};

/// Every form of a quantity that text may have, with a number and one of the spellings of a unit.
fn value<D: Dimension>() -> impl Strategy<Value = Value<D>> {
    let spellings: Vec<String> = crate::units::units_of(D::ID)
        .flat_map(|u| std::iter::once(u.symbol()).chain(u.aliases().iter().copied()))
        .filter(|s| unit_of(D::ID, s).is_some())
        .map(String::from)
        .collect();
    let forms = [
        "X U",
        "X  U",
        "X(3) U",
        "XU",
        "X 1/2 U",
        "X ± 0.1 U k=2",
        "X+/-0.1 U, k=2",
        "(X ± 0.1) U, k = 2",
        "X ± 0.1 U (k=2)",
        "X .. 99 U",
        "normal(X, 0.5) U",
        "triangular(1, X, 99) U",
        "truncated( X , 0.5, -inf, inf ) U",
        "samples(1,2, X) U",
    ];
    (1..98u32, 0..forms.len(), proptest::sample::select(spellings)).prop_filter_map(
        "a text with a meaning",
        move |(x, form, unit)| {
            Value::parse("value", &forms[form].replace('X', &x.to_string()).replace('U', &unit)).ok()
        },
    )
}

fn name() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("jug".to_string()),
        Just("At".to_string()),
        Just("oil".to_string()),
        Just("level".to_string()),
        Just("nose_up".to_string()),
        Just("two gaskets".to_string()),
        Just(String::new()),
        "\\PC{0,8}",
        "[\"\\\\#,\n\t]{1,4}",
    ]
}

fn attitude() -> impl Strategy<Value = AttitudeSpec> {
    let angle = || prop_oneof![Just(Value::constant(0.0)), Just(Value::parse("angle", "0 rad").unwrap()), value()];
    (angle(), angle()).prop_map(|(nose_up, right_down)| AttitudeSpec { nose_up, right_down })
}

fn amount() -> impl Strategy<Value = Amount> {
    prop_oneof![value().prop_map(Amount::Volume), value().prop_map(Amount::Mass)]
}

fn when() -> impl Strategy<Value = When> {
    prop_oneof![Just(When::Running), Just(When::Always)]
}

fn option<T: Clone + std::fmt::Debug>(of: impl Strategy<Value = T>) -> impl Strategy<Value = Option<T>> {
    proptest::option::of(of)
}

fn how() -> impl Strategy<Value = HowRead> {
    let face = prop_oneof![Just(Face::Lower), Just(Face::Higher)];
    (option(value()), option(value()), option(value()), face, option(name())).prop_map(
        |(smear, seat_offset, tube_pressure, face, stick)| HowRead { smear, seat_offset, tube_pressure, face, stick },
    )
}

fn on_plugs_and_filter() -> impl Strategy<Value = Action> {
    let primed = || prop_oneof![Just(Value::constant(0.0)), value()];
    prop_oneof![
        (option(name()), option(value())).prop_map(|(plug, temperature)| Action::OpenPlug { plug, temperature }),
        option(name()).prop_map(|plug| Action::ClosePlug { plug }),
        Just(Action::RemoveFilter),
        (primed(), option(value()), option(value())).prop_map(|(primed, net_volume, temperature)| Action::FitFilter {
            primed,
            net_volume,
            temperature
        }),
        (primed(), option(value()), option(value()))
            .prop_map(|(primed, net_volume, temperature)| Action::ChangeFilter { primed, net_volume, temperature }),
        (option(name()), value(), option(value())).prop_map(|(plug, duration, temperature)| Action::Drain {
            plug,
            duration,
            temperature
        }),
    ]
}

fn others() -> impl Strategy<Value = Action> {
    let component = prop_oneof![Just(Foreign::Fuel), Just(Foreign::Coolant), Just(Foreign::Water)];
    prop_oneof![
        (amount(), option(value()), option(name())).prop_map(|(amount, temperature, measured_with)| Action::Pour {
            amount,
            temperature,
            measured_with
        }),
        (amount(), option(name())).prop_map(|(amount, measured_with)| Action::Withdraw { amount, measured_with }),
        (value(), option(value())).prop_map(|(duration, temperature)| Action::Run { duration, temperature }),
        value().prop_map(|duration| Action::Rest { duration }),
        attitude().prop_map(|attitude| Action::Tilt { attitude }),
        (value(), when()).prop_map(|(rate, when)| Action::Leak { rate, when }),
        (value(), when()).prop_map(|(rate, when)| Action::Use { rate, when }),
        (component, value(), when()).prop_map(|(component, rate, when)| Action::Ingress { component, rate, when }),
        name().prop_map(|rate| Action::Stop { rate }),
        Just(Action::Wipe),
        how().prop_map(Action::Read),
    ]
}

pub(in super::super) fn event() -> impl Strategy<Value = Event> {
    (prop_oneof![on_plugs_and_filter(), others()], option(name()), option(attitude()))
        .prop_map(|(action, label, attitude)| Event { action, label, attitude })
}

fn service() -> impl Strategy<Value = Service> {
    let events = proptest::collection::vec(event(), 0..6);
    (name(), option(name()), option(name()), events).prop_map(|(name, note, circuit, events)| Service {
        name,
        note,
        circuit,
        events,
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]
    #[test]
    fn an_event_reads_back_from_its_line(event in event()) {
        let line = event.to_string();
        prop_assert_eq!(line.lines().count(), 1);
        let back = Event::parse(&line).map_err(|e| TestCaseError::fail(format!("{line}: {e}")))?;
        prop_assert_eq!(back, event, "{}", line);
    }

    #[test]
    fn no_text_makes_it_panic(line in "\\PC{0,40}", words in proptest::collection::vec(proptest::sample::select(&[
        "drain", "read", "pour", "tilt", "standing", "nose up", "level", "6.9 L", "10 min", "at", "with", ",", "\"a\"", "(", "k=2", "#", "called",
    ][..]), 0..8)) {
        let _ = Event::parse(&line);
        let _ = Event::parse(&words.join(" "));
        let _ = Service::loads(&line);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]
    #[test]
    fn a_service_reads_back_from_all_three_notations(service in service()) {
        for text in [service.to_string(), service.to_toml().unwrap(), service.to_json()] {
            let back = Service::loads(&text).map_err(|e| TestCaseError::fail(format!("{text}\n{e}")))?;
            prop_assert_eq!(&back, &service, "{}", text);
        }
    }
}

/// One line of every kind, as it is printed and as else it may be written.
#[test]
fn lines_are_printed_in_one_way_and_read_in_several() {
    for (printed, also) in [
        ("drain 10 min at 60 degC", "Drain 10 min, at 60 degC  # warm"),
        ("drain 10 min through rear at 60 degC", "drain 10 min at 60 degC through \"rear\""),
        ("open plug main at 60 degC", "open_plug main, at 60 degC"),
        ("close plug", "close plug,  called x"),
        ("open plug \"level\"", "open plug level"),
        ("close plug \"level\"", "close plug level"),
        ("close plug \"level\", standing level", "close plug level level"),
        ("close plug \"Level\", standing nose up 2 deg", "close plug Level nose up 2 deg"),
        ("close plug, standing level", "close plug, level"),
        ("open plug, standing level", "open plug standing level"),
        ("close plug, standing nose up 2 deg", "close plug nose up 2 deg"),
        ("stop \"level\"", "stop level"),
        ("change filter, primed 0.3 L", "change filter primed 0.3 L"),
        ("change filter", "change filter, primed 0 L"),
        ("fit filter, holds 0.5(1) L, oil at 20 degC", "fit filter oil at 20 degC holds 0.5(1) L"),
        ("pour 6.9 L with jug, oil at 20 degC", "pour 6.9 L, oil at 20 degC, with jug"),
        ("pour (0.35 ± 0.10) L, k=2 with jug", "pour (0.35 ± 0.10) L, k=2, with jug"),
        ("withdraw 0.25 kg", "WITHDRAW 0.25 kg"),
        ("run 1 min to 90 degC", "run 1 min, to 90 degC"),
        ("rest 5 min", "rest 5 min#"),
        ("tilt nose up 2 deg, right down 1 deg", "tilt right down 1 deg nose up 2 deg"),
        ("tilt nose up -2 deg", "tilt nose down 2 deg"),
        ("tilt level", "tilt level"),
        ("tilt level, standing right down -3 %", "tilt level standing right up 3 %"),
        ("leak 7 L/min while running, called \"two gaskets\"", "leak 7 L/min called \"two gaskets\" while running"),
        ("use 0.03 L/h", "use 0.03 L/h while running"),
        ("ingress fuel 20 mL/min always", "ingress fuel 20 mL/min, always"),
        ("stop \"two gaskets\"", "stop \"two gaskets\""),
        ("stop \"drip\"", "stop drip"),
        ("wipe, standing level", "wipe level"),
        ("read \"first dip\", standing nose up 3 deg", "read \"first dip\" nose up 3 deg"),
        (
            "read \"a\", stick other, smear 5 mm, seat offset 1 mm, tube pressure 100 Pa, higher face",
            "read, higher face, tube pressure 100 Pa, seat offset 1 mm, smear 5 mm, stick other, called a",
        ),
    ] {
        let event = Event::parse(also).unwrap();
        let expected = if also.ends_with("called x") { format!("{printed}, called \"x\"") } else { printed.into() };
        assert_eq!(event.to_string(), expected);
        assert_eq!(Event::parse(&expected).unwrap(), event);
    }
}

/// A word right after the verb names the plug, never an attitude: else closing one would close all.
#[test]
fn a_plug_may_be_called_level() {
    let plug = |line: &str| match Event::parse(line).unwrap() {
        Event { action: Action::OpenPlug { plug, .. } | Action::ClosePlug { plug }, attitude, .. } => (plug, attitude),
        other => panic!("{other:?}"),
    };
    for line in ["open plug level", "close plug level", "close plug \"level\"", "close_plug level # of the gearbox"] {
        assert_eq!(plug(line), (Some("level".into()), None), "{line}");
    }
    assert_eq!(plug("close plug level, standing level"), (Some("level".into()), Some(AttitudeSpec::default())));
    assert_eq!(plug("close plug, level"), (None, Some(AttitudeSpec::default())));
    assert_eq!(plug("close plug standing level"), (None, Some(AttitudeSpec::default())));
}

#[test]
fn what_is_not_understood_is_refused_with_its_place() {
    let text = |line: &str| Service::loads(line).unwrap_err().to_string();
    for (line, says) in [
        (
            "wipe\n  drian 10 min",
            "line 2, column 3: unknown word `drian`; did you mean `drain`?; accepted here: open plug,",
        ),
        ("chnage filter", "line 1, column 1: unknown word `chnage`; did you mean `change filter`?"),
        (
            "drain 10 min att 60 degC",
            "column 14: unknown word `att`; did you mean `at`?; accepted here: through, at, called",
        ),
        ("pour 6.9 L at 20 degC", "column 12: unknown word `at`; accepted here: with, oil at, called"),
        ("tilt nose dwn 2 deg", "column 6: unknown word `nose`; did you mean `nose down`?"),
        (
            "ingress feul 1 L/h",
            "column 9: unknown word `feul`; did you mean `fuel`?; accepted here: fuel, coolant, water",
        ),
        ("tilt", "column 5: something is missing at the end; accepted here: level, nose up"),
        ("wipe, standing", "column 15: something is missing at the end; accepted here: level"),
        ("wipe,", "column 6: something is missing at the end"),
        ("pour", "column 5: a volume such as 4.2 L is missing here"),
        ("pour 6.9 qt", "column 6: volume: \"6.9 qt\": \"qt\" is not one unit; say US qt"),
        ("pour 6,9 L", "column 6: volume: \"6,9 L\" has a comma in a number; write 6.9 L"),
        ("rest 5", "column 6: duration: \"5\" has no unit"),
        ("stop", "column 5: stop what?"),
        ("read called", "column 12: a label is missing here"),
        ("read \"first dip", "column 6: a quotation mark is not closed"),
        ("read \"\\q\"", "column 6: in quotes only JSON's escapes are known"),
        ("rest 5 min called a called b", "column 21: `called` is said twice"),
        ("tilt nose up 1 deg, level", "column 21: `level` is said twice"),
        ("tilt nose down 1 .. 2 deg", "column 16: this way takes a plain angle"),
        ("wipe\nname: late", "line 2, column 1: `name:` stands before the first event"),
        ("name: a\nname: b", "line 2, column 1: `name:` is said twice"),
        ("name: \"a", "line 1, column 1: what follows `name:` begins with a quotation mark"),
    ] {
        let message = text(line);
        assert!(message.contains(says), "{line:?}: {message}");
    }
    let error = Event::parse("rest 5 min stuff").unwrap_err();
    assert_eq!(error.code(), "service.unknown_word");
    assert!(matches!(error, ServiceError::UnknownWord { line: 1, column: 12, .. }));
    assert_eq!(Event::parse("rest 5").unwrap_err().code(), "service.bad_text");
}

/// Every event can be said: the table of verbs names them all.
#[test]
fn there_is_a_verb_for_every_event() {
    let name = |phrase: &str| phrase.replace(' ', "");
    let mut names: Vec<String> = VERBS.iter().map(|(_, phrase, _)| name(phrase)).collect();
    names.dedup();
    assert_eq!(names.len(), VERBS.len());
    assert!(names.contains(&Action::Wipe.name().to_lowercase()));
}
