//! The whole path on the three fixture gardens: what is said about each, as reviewed by eye.

mod support;

use breakcrop::advise::cover::{Asked, Question, cover, find_gap};
use breakcrop::advise::follow;
use breakcrop::advise::intersow::{self, intersow};
use breakcrop::assess::{Proposal, assess, changes};
use breakcrop::audit::{audit, audit_in_brief};
use breakcrop::import::{Options, import, read_folder};
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::render::{Look, page_text};
use breakcrop::season::{Date, iso_day};
use breakcrop::state::BedState;
use breakcrop::store::Store;
use breakcrop::view::{
    Page, Phrases, assessment_page, audit_page, bed_page, beds_page, cover_page, follow_page,
    intersow_page,
};
use support::garden_folder;

struct Scene {
    knowledge: Knowledge,
    policy: Policy,
    garden: Garden,
    today: Date,
}

impl Scene {
    fn of(name: &str, today: &str) -> Self {
        let knowledge = Knowledge::embedded();
        let today = day(today);
        let garden = stored(&knowledge, name, today).garden(&knowledge).expect("the garden reads");
        Self { knowledge, policy: Policy::default(), garden, today }
    }

    fn phrases(&self) -> Phrases<'_> {
        Phrases::new(&self.knowledge)
    }

    fn states(&self) -> Vec<BedState<'_>> {
        self.garden
            .beds
            .iter()
            .flat_map(|bed| self.garden.places(&bed.name))
            .map(|place| self.state(&place))
            .collect()
    }

    fn state(&self, place: &Place) -> BedState<'_> {
        BedState::at(&self.garden, &self.knowledge, &self.policy, place, self.today)
    }

    fn beds(&self) -> String {
        plain(&beds_page(self.phrases(), &self.garden, &self.states(), self.today))
    }

    fn bed(&self, place: &Place) -> String {
        let states = [self.state(place)];
        plain(&bed_page(self.phrases(), &self.policy, &self.garden, place, &states, self.today))
    }

    fn follow(&self, place: &Place) -> String {
        let follows = follow(&self.knowledge, &self.policy, &self.garden, place, self.today);
        plain(&follow_page(self.phrases(), &follows, 6))
    }

    fn assess(&self, place: &Place, crop: &str) -> String {
        let crop = self.knowledge.names.crop(&self.knowledge.crops, crop).expect("a crop");
        let proposal = Proposal::of(crop, self.today);
        let assessment = assess(&self.knowledge, &self.policy, &self.state(place), &proposal);
        let changes = changes(&self.knowledge, &self.policy, &self.garden, place, &assessment);
        plain(&assessment_page(self.phrases(), place, &assessment, &changes))
    }

    fn cover(&self, place: &Place, asked: Asked) -> String {
        let (knowledge, policy) = (&self.knowledge, &self.policy);
        let found = find_gap(knowledge, policy, &self.garden, place, self.today, asked)
            .expect("a gap with an end");
        let question = Question { gap: found.gap, next: found.next, next_method: None, goal: None };
        let covers = cover(knowledge, policy, &self.garden, place, question);
        plain(&cover_page(self.phrases(), found, &covers, 12, 2))
    }

    fn audit(&self, most: usize) -> String {
        let found = audit(&self.knowledge, &self.policy, &self.garden, self.today);
        plain(&audit_page(self.phrases(), &found, most, false))
    }
}

fn stored(knowledge: &Knowledge, name: &str, today: Date) -> Store {
    let mut store = Store::in_memory().expect("a store");
    fill(&mut store, knowledge, name, today);
    store
}

fn fill(store: &mut Store, knowledge: &Knowledge, name: &str, today: Date) {
    let (files, _) = read_folder(&garden_folder(name)).expect("reads");
    let options = Options { today, dry_run: false, withdraw: false };
    import(store, knowledge, &files, name, options).expect("imports");
}

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

fn plain(page: &Page) -> String {
    page_text(page, Look::plain(80))
}

/// The whole audit holds all findings and sorts them; the one in brief reads the garden bed by bed
/// and keeps the first.
#[test]
fn an_audit_in_brief_says_what_the_whole_one_says() {
    for name in ["gullcombe_terrace", "larchwater"] {
        let Scene { knowledge, policy, garden, today } = Scene::of(name, "2026-10-12");
        let whole = audit(&knowledge, &policy, &garden, today);
        for most in [1, 7, 20, usize::MAX] {
            let beds = stored(&knowledge, name, today).into_beds(&knowledge);
            let (shared, beds) = beds.expect("reads");
            let brief = audit_in_brief(&knowledge, &policy, &shared, &beds, today, most);
            let brief = brief.expect("reads");
            assert_eq!(brief.counts, whole.counts, "{name}");
            let page = |audit| plain(&audit_page(Phrases::new(&knowledge), audit, most, false));
            assert_eq!(page(&brief), page(&whole), "{name}, {most} findings");
        }
    }
}

/// What is asked about one bed is answered from its own records; those of the others change nothing.
#[test]
fn a_bed_read_alone_gives_the_answers_of_the_garden() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["gullcombe_terrace", "larchwater"] {
        let path = folder.path().join(name);
        let scene = Scene::of(name, "2026-10-12");
        let Scene { knowledge, policy, garden, today } = &scene;
        fill(&mut Store::create(&path).expect("a store"), knowledge, name, *today);
        for (at, bed) in garden.beds.iter().enumerate() {
            let store = Store::open(&path).expect("opens");
            let one = store.into_one_bed(knowledge, &[&bed.name]).expect("reads");
            let one = one.expect("there is one");
            assert_eq!(one.garden.places(&bed.name), garden.places(&bed.name));
            for place in garden.places(&bed.name) {
                let state = BedState::at(&one.garden, knowledge, policy, &place, *today);
                let phrases = scene.phrases();
                let page = bed_page(phrases, policy, &one.garden, &place, &[state], *today);
                assert_eq!(plain(&page), scene.bed(&place), "{name} {place}");
                // A ranking takes long without optimisation: every fifth bed.
                if at % 5 == 0 {
                    let mut follows = follow(knowledge, policy, &one.garden, &place, *today);
                    follows.own.extend(one.grown.iter().copied());
                    let page = plain(&follow_page(phrases, &follows, 6));
                    assert_eq!(page, scene.follow(&place), "{name} {place}");
                }
            }
        }
    }
}

#[test]
fn gullcombe_terrace() {
    let scene = Scene::of("gullcombe_terrace", "2026-10-12");
    insta::assert_snapshot!("gullcombe_beds", scene.beds());
    insta::assert_snapshot!("gullcombe_bed_u2", scene.bed(&Place::section("U2", "middle")));
    insta::assert_snapshot!("gullcombe_follow_l2", scene.follow(&Place::section("L2", "east")));
    insta::assert_snapshot!("gullcombe_follow_l4", scene.follow(&Place::whole("L4")));
    let l2 = Place::section("L2", "east");
    insta::assert_snapshot!("gullcombe_strawberry", scene.assess(&l2, "strawberry"));
    insta::assert_snapshot!("gullcombe_broccoli", scene.assess(&l2, "broccoli"));
    insta::assert_snapshot!("gullcombe_unknown", scene.assess(&Place::whole("L1"), "pepper"));
    insta::assert_snapshot!("gullcombe_audit", scene.audit(30));
    let m2 = Place::whole("M2");
    let advice = intersow(
        &scene.knowledge,
        &scene.policy,
        &scene.garden,
        &m2,
        scene.today,
        intersow::Asked::default(),
    )
    .expect("peppers stand");
    insta::assert_snapshot!(
        "gullcombe_intersow",
        plain(&intersow_page(scene.phrases(), &advice, 8, false))
    );
    let m3 = Place::whole("M3");
    let asked = Asked {
        from: None,
        to: Some(day("2027-02-15")),
        next: scene.knowledge.crops.find("potato"),
    };
    insta::assert_snapshot!("gullcombe_cover", scene.cover(&m3, asked));
}

#[test]
fn kestrel_hollow() {
    let scene = Scene::of("kestrel_hollow", "2026-04-15");
    insta::assert_snapshot!("kestrel_beds", scene.beds());
    insta::assert_snapshot!("kestrel_audit", scene.audit(20));
    insta::assert_snapshot!("kestrel_follow", scene.follow(&Place::whole("W02")));
}

#[test]
fn larchwater() {
    let scene = Scene::of("larchwater", "2026-09-20");
    insta::assert_snapshot!("larchwater_beds", scene.beds());
    insta::assert_snapshot!("larchwater_audit", scene.audit(20));
    let bed = scene.garden.beds[0].name.clone();
    insta::assert_snapshot!("larchwater_follow", scene.follow(&Place::whole(&bed)));
}

#[test]
fn every_page_keeps_to_its_width_in_words_that_break() {
    let scene = Scene::of("gullcombe_terrace", "2026-10-12");
    for width in [60, 80, 120] {
        let page = beds_page(scene.phrases(), &scene.garden, &scene.states(), scene.today);
        for line in page_text(&page, Look::plain(width)).lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
        }
    }
}
