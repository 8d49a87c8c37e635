//! Doses, waits and losses of small records.

use breakcrop::assess::{Claim, Effect, Proposal, Verdict, assess, disease_losses};
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::{Knowledge, PathogenId};
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::season::{DAYS_PER_YEAR, Date, add_days, add_years};
use breakcrop::state::{BedState, DoseEvent, HalfLife, Inoculum, Presence, half_life};
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge, like, near};

const BEDS: &str = "bed,kind,length_m,width_m,records_from\nb,ground,4,1,2010-01-01\n";
const WILT: &str = "verticillium_dahliae";

/// A garden of one bed, or of two sections of it, by the rows of its records.
struct Bench {
    knowledge: &'static Knowledge,
    policy: Policy,
    wilt: PathogenId,
}

impl Bench {
    fn new() -> Self {
        let knowledge = knowledge();
        let wilt = knowledge.pathogens.find(WILT).expect("a pathogen");
        Self { knowledge, policy: Policy::default(), wilt }
    }

    fn garden(&self, plantings: &str, observations: &str) -> Garden {
        let files = [
            ("beds.csv", BEDS.to_owned()),
            ("plantings.csv", format!("bed,section,crop,planted,removed,residue\n{plantings}")),
            (
                "observations.csv",
                format!("bed,section,date,crop,cause,extent,certainty\n{observations}"),
            ),
        ];
        garden_of(self.knowledge, files, "by hand")
    }

    fn inocula<'g>(&'g self, garden: &'g Garden, place: &Place, on: &str) -> Vec<Inoculum<'g>> {
        let state = BedState::at(garden, self.knowledge, &self.policy, place, day(on));
        state.inocula().cloned().collect()
    }

    fn dose(&self, plantings: &str, observations: &str, on: &str) -> Estimate {
        let garden = self.garden(plantings, observations);
        let inocula = self.inocula(&garden, &Place::whole("b"), on);
        assert_eq!(inocula.len(), 1, "one disease");
        inocula[0].dose
    }

    fn half_life(&self) -> Estimate {
        half_life(&self.knowledge.pathogens[self.wilt], &self.policy).years()
    }

    /// What days without a host leave of a dose.
    fn rested(&self, dose: Estimate, days: f64) -> Estimate {
        let half_life = self.half_life();
        let left = |half_life: f64| 0.5_f64.powf(days / DAYS_PER_YEAR / half_life);
        Estimate::new(
            dose.low * left(half_life.low),
            dose.likely * left(half_life.likely),
            dose.high * left(half_life.high),
        )
    }

    /// What a season of a factor makes of a dose: growth that levels off at the ceiling.
    fn grown(&self, dose: Estimate, factor: Estimate) -> Estimate {
        let ceiling = self.policy.dose_ceiling;
        let grow =
            |dose: f64, factor: f64| ceiling * factor * dose / (ceiling + dose * (factor - 1.0));
        Estimate::new(
            grow(dose.low, factor.low),
            grow(dose.likely, factor.likely),
            grow(dose.high, factor.high),
        )
    }
}

/// The dose at which a susceptible crop loses a share.
fn dose_of(share: Estimate) -> Estimate {
    share.map(|share| -(1.0 - share).ln())
}

const SEEN: &str = "b,,2024-03-01,,verticillium_dahliae,moderate,laboratory\n";

#[test]
fn a_sighting_sets_the_dose_by_extent_and_certainty() {
    let bench = Bench::new();
    let policy = &bench.policy;
    let of = |extent: &str, certainty: &str| {
        let seen = format!("b,,2024-03-01,,verticillium_dahliae,{extent},{certainty}\n");
        bench.dose("", &seen, "2024-03-01")
    };
    for (extent, share) in [
        ("trace", policy.extent_trace),
        ("light", policy.extent_light),
        ("moderate", policy.extent_moderate),
        ("severe", policy.extent_severe),
        ("", policy.extent_not_given),
        // Five plants in a hundred either way, and never less than half of what was counted.
        ("40%", Estimate::new(0.35, 0.40, 0.45)),
        ("6%", Estimate::new(0.03, 0.06, 0.11)),
        ("97%", Estimate::new(0.92, 0.97, 0.99)),
    ] {
        like(of(extent, "laboratory"), dose_of(share), extent);
    }
    // What is not sure is less likely, and its low end is another cause; the high end stays.
    for (certainty, weight) in [("suspected", 0.5), ("field_check", 0.85)] {
        let sure = dose_of(policy.extent_moderate);
        let low = sure.low * weight * weight;
        let by_hand = Estimate::new(low, sure.likely * weight, sure.high);
        like(of("moderate", certainty), by_hand, certainty);
    }
}

#[test]
fn without_a_host_a_dose_halves_every_half_life() {
    let bench = Bench::new();
    let seen = dose_of(bench.policy.extent_moderate);
    like(bench.dose("", SEEN, "2027-03-01"), bench.rested(seen, 1095.0), "three years");
    // A bean that does not take the wilt changes nothing.
    let bean = "b,,pole_bean,2025-04-01,2025-09-01,removed\n";
    like(bench.dose(bean, SEEN, "2027-03-01"), bench.rested(seen, 1095.0), "beans");
}

/// Half-lives follow from the survival printed (5 % left at its end, 4.32 halvings): white rot 20 to
/// 40 years. Of the wilt a decay is printed too (1.5 years), and the range holds both: survival of
/// 15 to 25 years.
#[test]
fn half_lives_follow_from_what_is_printed() {
    let bench = Bench::new();
    let of = |key: &str| {
        let pathogen = bench.knowledge.pathogens.find(key).expect("a pathogen");
        half_life(&bench.knowledge.pathogens[pathogen], &bench.policy)
    };
    let halvings = 20_f64.log2();
    let rot = of("stromatinia_cepivora");
    assert!(matches!(rot, HalfLife::FromSurvival(_)), "{rot:?}");
    let by_hand = Estimate::new(20.0 / halvings, 800_f64.sqrt() / halvings, 40.0 / halvings);
    like(rot.years(), by_hand, "white rot");
    let wilt = of(WILT);
    assert!(matches!(wilt, HalfLife::Published(_)), "{wilt:?}");
    near(wilt.years().low, 1.5, "wilt, low");
    near(wilt.years().high, 25.0 / halvings, "wilt, high");
}

#[test]
fn a_host_season_multiplies_and_is_no_rest() {
    let bench = Bench::new();
    let seen = dose_of(bench.policy.extent_moderate);
    // 31 days of rest, then potatoes for the days of a full season, up to the day itself.
    let rested = bench.rested(seen, 31.0);
    let full = "b,,potato,2024-04-01,2024-06-15,removed\n";
    let host = bench.policy.host_season_factor;
    like(bench.dose(full, SEEN, "2024-06-15"), bench.grown(rested, host), "75 days");
    // Longer than a season is one season.
    let longer = "b,,potato,2024-04-01,2024-08-01,removed\n";
    like(bench.dose(longer, SEEN, "2024-08-01"), bench.grown(rested, host), "122 days");
    // A third of a season multiplies by the third root.
    let short = "b,,potato,2024-04-01,2024-04-26,removed\n";
    let third = host.map(|factor| factor.powf(1.0 / 3.0));
    like(bench.dose(short, SEEN, "2024-04-26"), bench.grown(rested, third), "25 days");
    // After it the rest begins again.
    let after = bench.rested(bench.grown(rested, host), 365.0);
    like(bench.dose(full, SEEN, "2025-06-15"), after, "and a year of rest");
    // Two hosts side by side keep it from resting once, not twice.
    let two = format!("{full}b,,eggplant,2024-04-01,2024-06-15,removed\n");
    let twice = bench.grown(bench.grown(rested, host), host);
    like(bench.dose(&two, SEEN, "2025-06-15"), bench.rested(twice, 365.0), "two hosts");
}

#[test]
fn a_carrier_keeps_it_and_a_healthy_host_lowers_it() {
    let bench = Bench::new();
    let policy = &bench.policy;
    let rested = bench.rested(dose_of(policy.extent_moderate), 31.0);
    let fava = "b,,fava_bean,2024-04-01,2024-06-15,removed\n";
    let kept = bench.grown(rested, policy.carrier_season_factor);
    like(bench.dose(fava, SEEN, "2024-06-15"), kept, "carrier");
    // A look at healthy eggplant on its last day: after the season it multiplied, the likely dose
    // falls by the policy's factor and the high end by its root.
    let egg = "b,,eggplant,2024-04-01,2024-06-15,removed\n";
    let healthy = format!("{SEEN}b,,2024-06-15,eggplant,healthy,,\n");
    let grown = bench.grown(rested, policy.host_season_factor);
    let factor = policy.healthy_host_factor;
    let lowered =
        Estimate::new(grown.low * factor, grown.likely * factor, grown.high * factor.sqrt());
    like(bench.dose(egg, &healthy, "2024-06-15"), lowered, "healthy");
    // The same look at a crop that never takes it says nothing.
    let bean = "b,,pole_bean,2024-04-01,2024-06-15,removed\n";
    let idle = format!("{SEEN}b,,2024-06-15,pole_bean,healthy,,\n");
    let by_hand = bench.rested(dose_of(policy.extent_moderate), 106.0);
    like(bench.dose(bean, &idle, "2024-06-15"), by_hand, "healthy beans");
}

#[test]
fn the_highest_of_several_sightings_counts() {
    let bench = Bench::new();
    let policy = &bench.policy;
    let two = format!("{SEEN}b,,2024-08-28,,verticillium_dahliae,trace,laboratory\n");
    let first = bench.rested(dose_of(policy.extent_moderate), 180.0);
    let second = dose_of(policy.extent_trace);
    // The low end is that of the latest look, the others are those of the worst.
    let by_hand = Estimate::new(second.low, first.likely, first.high);
    like(bench.dose("", &two, "2024-08-28"), by_hand, "a second look");
}

#[test]
fn what_was_seen_beside_weighs_three_tenths_and_is_care_at_most() {
    let bench = Bench::new();
    let seen = "b,west,2024-03-01,,verticillium_dahliae,moderate,laboratory\n";
    let garden = bench.garden("b,east,pole_bean,2023-04-01,2023-09-01,removed\n", seen);
    let east = Place { bed: "b".into(), section: Some("east".into()) };
    let inocula = bench.inocula(&garden, &east, "2024-03-01");
    assert_eq!(inocula.len(), 1);
    assert_eq!(inocula[0].presence, Presence::Beside);
    let sure = dose_of(bench.policy.extent_moderate);
    let by_hand = Estimate::new(sure.low * 0.09, sure.likely * 0.3, sure.high);
    like(inocula[0].dose, by_hand, "beside");
    let state = BedState::at(&garden, bench.knowledge, &bench.policy, &east, day("2024-03-01"));
    let strawberry = bench.knowledge.crops.find("strawberry").expect("a crop");
    let proposal = Proposal::of(strawberry, day("2024-03-01"));
    let judged = assess(bench.knowledge, &bench.policy, &state, &proposal);
    assert_eq!(judged.verdict, Verdict::Care);
}

#[test]
fn the_years_without_a_host_run_from_the_last_that_stood() {
    let bench = Bench::new();
    let since = |plantings: &str, observations: &str| {
        let garden = bench.garden(plantings, observations);
        let inocula = bench.inocula(&garden, &Place::whole("b"), "2026-01-01");
        (inocula[0].hostless_since, inocula[0].hosts_since.len())
    };
    let seen = "b,,2024-07-01,potato,verticillium_dahliae,moderate,laboratory\n";
    let potato = "b,,potato,2024-04-01,2024-09-10,removed\n";
    assert_eq!(since("", seen), (day("2024-07-01"), 0), "no planting on record");
    assert_eq!(since(potato, seen), (day("2024-09-10"), 1), "until it was cleared");
    // What was gone before the disease was seen is no host since.
    let before = format!("b,,eggplant,2023-04-01,2023-09-01,removed\n{potato}");
    assert_eq!(since(&before, seen), (day("2024-09-10"), 1), "a host before");
    let later = format!("{potato}b,,eggplant,2025-04-01,2025-08-20,removed\n");
    assert_eq!(since(&later, seen), (day("2025-08-20"), 2), "a host after");
    // One that was healthy at the last look has not begun it anew; one looked at too early, or
    // still standing, may have.
    let healthy = format!("{seen}b,,2025-08-01,eggplant,healthy,,\n");
    assert_eq!(since(&later, &healthy), (day("2024-09-10"), 1), "healthy");
    let early = format!("{seen}b,,2024-08-01,eggplant,healthy,,\n");
    assert_eq!(since(&later, &early), (day("2025-08-20"), 2), "looked at before it stood");
    let standing = format!("{potato}b,,eggplant,2025-04-01,,\n");
    assert_eq!(since(&standing, &healthy), (day("2026-01-01"), 2), "still there");
    // A carrier or a bean is no host.
    let others = format!("{potato}b,,fava_bean,2025-04-01,2025-08-20,removed\n");
    assert_eq!(since(&others, seen), (day("2024-09-10"), 1), "carrier");
}

/// Strawberry after Verticillium wilt: 5 to 8 years are printed for it, the fungus lives up to 25.
#[test]
fn strawberry_waits_five_years_and_is_care_for_twenty_five() {
    let bench = Bench::new();
    let potato = "b,,potato,2024-04-01,2024-09-10,removed\n";
    let seen = "b,,2024-07-01,potato,verticillium_dahliae,moderate,laboratory\n";
    let garden = bench.garden(potato, seen);
    let strawberry = bench.knowledge.crops.find("strawberry").expect("a crop");
    let cleared = day("2024-09-10");
    let judged = |on: Date| {
        let state = BedState::at(&garden, bench.knowledge, &bench.policy, &Place::whole("b"), on);
        let proposal = Proposal::of(strawberry, on);
        let judged = assess(bench.knowledge, &bench.policy, &state, &proposal);
        let effect = judged.reasons.iter().find_map(|reason| match reason.claim {
            Claim::Disease { .. } => Some(reason.effect),
            _ => None,
        });
        (judged.verdict, judged.earliest, effect.expect("the wilt"))
    };
    let five = add_years(cleared, 5.0);
    let wait = Effect::Wait { until: Some(five) };
    assert_eq!(judged(cleared), (Verdict::Wait, Some(five), wait));
    let eve = add_days(five, -1.0);
    assert_eq!(judged(eve), (Verdict::Wait, Some(five), wait));
    let care = Effect::Care { until: Some(add_years(cleared, 25.0)) };
    assert_eq!(judged(five), (Verdict::Care, Some(five), care));
    let last = add_days(add_years(cleared, 25.0), -1.0);
    assert_eq!(judged(last), (Verdict::Care, Some(last), care));
    assert_eq!(judged(add_years(cleared, 25.0)).2, Effect::Allows);
}

/// What the dose costs each kind of crop: all of it a host, a part of it a weak or poor one, nothing
/// a carrier, which suffers nothing, or a crop outside its hosts.
#[test]
fn a_loss_is_the_dose_times_what_the_crop_takes_of_it() {
    let bench = Bench::new();
    let policy = &bench.policy;
    let garden = bench.garden("", SEEN);
    let on = day("2025-03-01");
    let state =
        BedState::at(&garden, bench.knowledge, policy, &Place::whole("b"), day("2024-03-01"));
    let dose = bench.rested(dose_of(policy.extent_moderate), 365.0);
    let whole = dose.map(|dose| 1.0 - (-dose).exp());
    let losses = |crop: &str, resistance: &str| {
        let crop = bench.knowledge.crops.find(crop).expect("a crop");
        let proposal = Proposal { resistance: resistance.into(), ..Proposal::of(crop, on) };
        disease_losses(bench.knowledge, policy, &state, &proposal)
    };
    let tomato = losses("tomato", "");
    assert_eq!(tomato.len(), 1);
    assert_eq!(tomato[0].pathogen, bench.wilt);
    like(tomato[0].loss, whole, "tomato");
    let resistant = losses("tomato", "V");
    like(resistant[0].loss, whole * policy.resistant_loss, "resistant tomato");
    assert_eq!(losses("fava_bean", "").len(), 0, "a carrier");
    assert_eq!(losses("pole_bean", "").len(), 0, "no host");
}

#[test]
fn the_steps_of_a_dose_are_told_in_order() {
    let bench = Bench::new();
    let plantings =
        "b,,potato,2024-04-01,2024-06-15,removed\nb,,fava_bean,2024-09-01,2025-03-01,\n";
    let garden = bench.garden(plantings, SEEN);
    let inocula = bench.inocula(&garden, &Place::whole("b"), "2026-03-01");
    let steps: Vec<(Date, &str)> = inocula[0]
        .steps
        .iter()
        .map(|step| {
            let word = match step.event {
                DoseEvent::Sighting(_) => "seen",
                DoseEvent::Season(..) => "season",
                DoseEvent::Healthy(_) => "healthy",
                DoseEvent::Suppressed(..) => "suppressed",
                DoseEvent::Treated(..) => "treated",
            };
            (step.date, word)
        })
        .collect();
    let by_hand =
        [(day("2024-03-01"), "seen"), (day("2024-06-15"), "season"), (day("2025-03-01"), "season")];
    assert_eq!(steps, by_hand);
    assert_eq!(inocula[0].last_sighting().map(|seen| seen.date), Some(day("2024-03-01")));
    assert!(!inocula[0].was_lowered());
}

/// Lime mends the soil and kills nothing in it; what was steamed before the disease was seen did
/// nothing to what was seen.
#[test]
fn only_work_on_the_soil_after_a_sighting_is_a_step_of_its_dose() {
    let bench = Bench::new();
    let steps = |treatment: &str| {
        let mut garden = bench.garden("", SEEN);
        let rows = format!("bed,start,end,practice\n{treatment}");
        let files = [("beds.csv", BEDS.to_owned()), ("treatments.csv", rows)];
        garden.treatments = garden_of(knowledge(), files, "treated").treatments;
        let inocula = bench.inocula(&garden, &Place::whole("b"), "2025-03-01");
        (inocula[0].steps.len(), inocula[0].dose)
    };
    let untouched = steps("");
    assert_eq!(untouched.0, 1);
    assert_eq!(steps("b,2024-06-01,2024-06-02,lime\n"), untouched);
    assert_eq!(steps("b,2024-02-01,2024-02-02,steaming\n"), untouched);
    let (count, lowered) = steps("b,2024-06-01,2024-06-02,steaming\n");
    assert_eq!(count, 2);
    assert!(lowered.likely < untouched.1.likely);
}
