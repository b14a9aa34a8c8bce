//! The circuit of a service sheet: what stays aloft in the reference condition, and what a drain leaves, are those of the service.

use super::{Action, Bend, Event, Misfit, Program, Recorder, View};
use crate::Error;
use crate::circuit::{Book, Circuit, Figures, NOMINAL_DRAIN_C, NOMINAL_DRAIN_S, contradiction, shown};
use crate::units::Value;

impl Book {
    /// Builds the circuit: a sump of constant area `span / span_length`, read by an upright stick standing on its floor.
    ///
    /// All in the circuit at MAX in the reference condition is the dry capacity: the sump holds then what filter and stores do not, and of
    /// the stores counts what they keep and what is still aloft after the wait. A nominal drain (10 min at 60 °C, then the filter taken off)
    /// leaves the residue, and the heel is what of it does not stay in the stores.
    ///
    /// ```
    /// use fillmark::circuit::Book;
    /// use fillmark::uom::si::{f64::Volume, volume::liter};
    /// let mut book = Book::new("workshop sheet");
    /// book.service_with_filter = Some(Volume::new::<liter>(5.4));
    /// book.service_without_filter = Some(Volume::new::<liter>(5.0));
    /// let circuit = book.circuit()?;
    /// assert_eq!(circuit.spec().filter.as_ref().and_then(|f| f.net_volume.as_ref()).map(ToString::to_string), Some("0.4 L".into()));
    /// # Ok::<(), fillmark::Error>(())
    /// ```
    pub fn circuit(&self) -> Result<Circuit, Error> {
        let figures = self.figures()?;
        let at_max = self.at_max(&figures)?;
        let heel = self.heel(&figures, at_max)?;
        self.drawn(&figures, at_max, heel)
    }

    /// What the sump holds at MAX (L). Stores hold a share of what they are sized by, so one trial tells.
    fn at_max(&self, figures: &Figures) -> Result<f64, Error> {
        let beside_filter = figures.with - figures.filter + figures.residue;
        let trial = NominalDrain::of(&self.drawn(figures, beside_filter, TRIAL_HEEL * beside_filter)?)?;
        let [aloft, _] = trial.run(TRIAL_HEEL * beside_filter)?;
        let in_stores = aloft - figures.filter;
        let at_max = if figures.sized_by_service {
            beside_filter - in_stores
        } else {
            beside_filter / (1.0 + in_stores / beside_filter)
        };
        if at_max > 0.0 {
            return Ok(at_max);
        }
        let (all, in_stores) = (shown(beside_filter), shown(in_stores));
        Err(contradiction(&format!("the stores hold {in_stores} L, which leaves nothing of {all} L for the sump")))
    }

    /// The heel (L) by which the nominal drain leaves the residue. What comes out falls by as much for every litre of heel.
    fn heel(&self, figures: &Figures, at_max: f64) -> Result<f64, Error> {
        let trial = TRIAL_HEEL * at_max;
        let drain = NominalDrain::of(&self.drawn(figures, at_max, trial)?)?;
        let ([_, without], [_, with]) = (drain.run(0.0)?, drain.run(trial)?);
        let heel = (without - figures.with) * trial / (without - with);
        if heel > 0.0 {
            return Ok(heel);
        }
        let (residue, stays) = (shown(figures.residue), shown(figures.with + figures.residue - without));
        Err(contradiction(&format!(
            "residue = {residue} L is not more than the {stays} L that stay in the stores after a drain of {} min at {NOMINAL_DRAIN_C} degC",
            NOMINAL_DRAIN_S / 60.0
        )))
    }
}

/// Heel of a trial, as a share of what the sump holds at MAX.
const TRIAL_HEEL: f64 = 0.1;

/// The nominal drain of a circuit with one plug, the filter taken off after it.
struct NominalDrain(Program);

impl NominalDrain {
    fn of(circuit: &Circuit) -> Result<Self, Error> {
        let drain = Action::Drain {
            plug: None,
            duration: Value::constant(NOMINAL_DRAIN_S),
            temperature: Some(Value::constant(NOMINAL_DRAIN_C)),
        };
        let mut events: Vec<Event> = vec![drain.into()];
        if circuit.layout().filter.is_some() {
            events.push(Action::RemoveFilter.into());
        }
        Ok(Self(Program::compile(circuit, &events)?))
    }

    /// What filter and stores hold in the reference condition, and what brings the sump back to MAX (L), with this heel (L).
    fn run(&self, heel: f64) -> Result<[f64; 2], Error> {
        let mut inputs = self.0.nominals().to_vec();
        for (_, plug) in &self.0.circuit.layout().plugs {
            plug.heel.into_iter().for_each(|ix| inputs[ix] = heel * 1e-3);
        }
        let mut heard = Heard::default();
        self.0.run(&inputs, &mut self.0.scratch(&inputs)?, &mut heard)?;
        Ok([heard.aloft, heard.refill].map(|volume| volume * 1e3))
    }
}

/// Volumes heard of a run (m3).
#[derive(Default)]
struct Heard {
    aloft: f64,
    refill: f64,
}

impl Recorder for Heard {
    fn end(&mut self, view: &View<'_>) {
        self.aloft = view.volume_elsewhere();
        self.refill = view.volume_at_max() - view.drained_back();
    }

    fn misfit(&mut self, _misfit: Misfit) -> Bend {
        Bend::Bend
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::circuit::spec::StoreKind;
    use crate::estimate::{ReconcileOptions, reconcile};
    use crate::uom::si::f64::Volume;
    use crate::uom::si::volume::liter;

    const KINDS: [StoreKind; 5] =
        [StoreKind::Head, StoreKind::Cooler, StoreKind::Galleries, StoreKind::Lines, StoreKind::Crankcase];

    fn gaps(book: &Book) -> Vec<f64> {
        let mut options = ReconcileOptions::default();
        options.predict = options.predict.draws(1);
        let found = reconcile(&book.circuit().unwrap(), &options).unwrap();
        found.figures().iter().filter_map(crate::estimate::Compared::gap).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        /// Whatever a sheet states, its circuit gives back: dry is all in the circuit at MAX in the reference condition, the service
        /// capacity is what a nominal drain takes out.
        #[test]
        fn a_circuit_keeps_to_its_sheet(
            with in 0.3_f64..60.0,
            filter in 0.02_f64..0.12,
            residue in 0.13_f64..0.4,
            span in 0.1_f64..0.3,
            stated in 1_u8..8,
            residue_is_stated: bool,
            stores in proptest::collection::vec(0_usize..5, 0..5),
        ) {
            let l = |litres: f64| Some(Volume::new::<liter>((litres * 1e3).round() / 1e3));
            let mut book = Book::new("sheet");
            let states = |bit: u8| stated & bit != 0;
            book.service_with_filter = l(with).filter(|_| states(1));
            book.service_without_filter = l(with * (1.0 - filter)).filter(|_| states(2));
            book.dry = l(with * (1.0 + residue)).filter(|_| states(4));
            book.residue = l(with * residue).filter(|v| residue_is_stated && book.dry.is_none() && *v > Volume::new::<liter>(0.06));
            book.span = l(span * with).filter(|v| *v > Volume::new::<liter>(0.06));
            book.stores = stores.into_iter().map(|kind| KINDS[kind]).collect();
            // The residue assumed where none follows may be less than such stores keep.
            let follows = book.residue.is_some() || (book.dry.is_some() && stated != 4);
            prop_assume!(follows || book.circuit().is_ok());
            for gap in gaps(&book) {
                prop_assert!(gap.abs() <= 1e-9 * with * 1e-3, "{gap} m3 of {with} L");
            }
        }
    }

    /// Head and cooler keep 1 and 2 % of 5 L, 0.15 L.
    #[test]
    fn a_residue_that_the_stores_leave_no_room_for_is_refused() {
        let mut book = Book::new("sheet");
        book.service_with_filter = Some(Volume::new::<liter>(5.0));
        book.residue = Some(Volume::new::<liter>(0.06));
        book.stores = vec![StoreKind::Head, StoreKind::Cooler];
        let message = book.circuit().unwrap_err().to_string();
        assert!(message.starts_with("book: residue = 0.06 L is not more than the 0."), "{message}");
        assert!(message.ends_with("L that stay in the stores after a drain of 10 min at 60 degC"), "{message}");
        book.residue = Some(Volume::new::<liter>(0.5));
        assert!(gaps(&book).iter().all(|gap| gap.abs() < 1e-12));
    }
}
