//! Rows of rotation trials read as two histories of one bed: the treatment and its reference.
//!
//! The words of the table are read by rule, not row by row, so that another table of the same form
//! can be read too. What cannot be written as records is refused with the reason.

use breakcrop::knowledge::{Crop, CropId, Knowledge, PathogenId, Role, fold};
use breakcrop::records::Extent;

use super::support::Row;

/// What stood on a bed before a crop is planted, oldest season first.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Scene {
    /// Crops of each season; an empty season is fallow.
    pub(crate) seasons: Vec<Vec<CropId>>,
    /// Covers of the last winter.
    pub(crate) covers: Vec<CropId>,
    /// What became of the last season's plants and of the cover.
    pub(crate) dug_in: Option<bool>,
    /// Practices on the soil before planting.
    pub(crate) treated: Vec<&'static str>,
    /// Rootstock of the crop proposed.
    pub(crate) rootstock: Box<str>,
    /// Resistance of the crop proposed.
    pub(crate) resistance: &'static str,
    /// How much of a disease the bed showed at the outset, if this side says.
    pub(crate) extent: Option<Extent>,
}

/// A row that the model can express: the scenes are alternatives of which the mean is meant.
pub(crate) struct Trial {
    pub(crate) crops: Vec<CropTrial>,
    pub(crate) disease: Option<(String, Option<Extent>)>,
    pub(crate) printed: f64,
}

/// One crop of a row.
pub(crate) struct CropTrial {
    pub(crate) crop: CropId,
    pub(crate) pathogen: Option<PathogenId>,
    pub(crate) treatment: Vec<Scene>,
    pub(crate) reference: Vec<Scene>,
}

/// Alternatives, crops or scenes, beyond which a spread sample speaks for all.
const SAMPLE: usize = 6;

fn sample<T: Clone>(all: &[T]) -> Vec<T> {
    all.iter().step_by(all.len().div_ceil(SAMPLE).max(1)).cloned().collect()
}

/// Reads a row, or says why the model cannot express it.
pub(crate) fn trial(knowledge: &Knowledge, row: &Row) -> Result<Trial, String> {
    let text = |column: &str| row.get(column).to_lowercase();
    let printed = row.number("relative_yield_percent").ok_or("no figure")?;
    if row.get("cause_given") == "nutrients" {
        return Err("the cause is nutrients alone, which are not yet weighed".to_owned());
    }
    let said = ["study", "previous_crop_or_break_years", "comparison", "reference_treatment"]
        .iter()
        .chain(&["site", "source", "derivation"])
        .map(|column| text(column))
        .collect::<Vec<_>>()
        .join(" | ");
    if said.contains("weed effect") || said.contains("weedy") {
        return Err("an effect of weeds".to_owned());
    }
    let before = text("previous_crop_or_break_years");
    if ["coarse soil", "medium soil", "mm rain"].iter().any(|word| before.contains(word)) {
        return Err("turns on soil texture or rain, which no record holds".to_owned());
    }
    let disease = disease(&said);
    let mut crops = Vec::new();
    let words = text("crop");
    let proposed: Vec<CropId> = words
        .split(';')
        .map(|name| {
            let name = name.trim();
            let named = knowledge.names.crop(&knowledge.crops, name).ok();
            named.map_or_else(|| sample(&group_of_crops(knowledge, name)), |crop| vec![crop])
        })
        .collect::<Vec<_>>()
        .concat();
    if proposed.is_empty() {
        return Err("the crop is not known".to_owned());
    }
    for &crop in &proposed {
        let key = &knowledge.crops[crop].key;
        let pathogen = disease.as_ref().and_then(|(name, _)| {
            knowledge.names.pathogen(&knowledge.pathogens, Some(key), name).ok()
        });
        let reader = Reader { knowledge, crop, all: &proposed };
        let reference = text("reference_treatment");
        let treatment = reader.treatment(&before, &text("comparison"), &reference)?;
        let reference = reader.reference(&reference, &treatment)?;
        crops.push(CropTrial {
            crop,
            pathogen,
            treatment: sample(&treatment),
            reference: sample(&reference),
        });
    }
    Ok(Trial { crops, disease, printed })
}

/// Main crops that a word stands for.
fn group_of_crops(knowledge: &Knowledge, word: &str) -> Vec<CropId> {
    let meant: fn(&Crop) -> bool = if word.contains("vegetable") {
        |crop| crop.role == Role::Cash && !crop.is_legume()
    } else if word.contains("grain") || word.contains("cereal") {
        is_cereal
    } else if word.starts_with("any") {
        |crop| matches!(crop.role, Role::Cash | Role::Field) && !crop.is_legume()
    } else {
        |_| false
    };
    knowledge.crops.iter().filter(|(_, crop)| meant(crop)).map(|(id, _)| id).collect()
}

fn is_cereal(crop: &Crop) -> bool {
    &*crop.family == "Poaceae" && &*crop.edible_part == "seed"
}

fn is_grain_legume(crop: &Crop) -> bool {
    crop.is_legume() && &*crop.edible_part == "seed"
}

/// A disease or soil pest that the row names, and how much of it there was.
fn disease(said: &str) -> Option<(String, Option<Extent>)> {
    const NAMED: [(&str, &str); 7] = [
        ("meloidogyne hapla", "Meloidogyne hapla"),
        ("meloidogyne arenaria", "Meloidogyne arenaria"),
        ("root-knot", "root-knot nematode"),
        ("verticillium", "Verticillium dahliae"),
        ("clubroot", "clubroot"),
        ("pythium", "root dieback"),
        ("sclerotium rolfsii", "Sclerotium rolfsii"),
    ];
    let (word, name) = NAMED.iter().find(|(word, _)| said.contains(word))?;
    if said.contains(&format!("no {word}")) {
        return None;
    }
    let extent = if said.contains(&format!("low {word}")) {
        Some(Extent::Trace)
    } else if said.contains("infested") {
        Some(Extent::Moderate)
    } else {
        None
    };
    Some(((*name).to_owned(), extent))
}

/// Reads the words of a row for one crop.
struct Reader<'k> {
    knowledge: &'k Knowledge,
    crop: CropId,
    /// All crops of the row, which "other vegetables" may mean.
    all: &'k [CropId],
}

impl Reader<'_> {
    fn family(&self, crop: CropId) -> &str {
        &self.knowledge.crops[crop].family
    }

    /// A predecessor of which no source says anything: wheat, or flax before a grass.
    fn neutral(&self) -> CropId {
        let key = if self.family(self.crop) == "Poaceae" { "flax" } else { "wheat" };
        self.knowledge.crops.find(key).expect("a crop of the tables")
    }

    fn treatment(&self, text: &str, comparison: &str, other: &str) -> Result<Vec<Scene>, String> {
        if text.starts_with("same,") {
            return Err("the treatment is told by another row".to_owned());
        }
        let mut scenes = if text.contains("graft") {
            let name = text.split("grafted on ").nth(1).unwrap_or_default();
            let name = name.split([',', '(']).next().unwrap_or_default().trim();
            let unnamed = name.contains("rootstocks");
            let name = if unnamed { "" } else { name };
            vec![Scene {
                seasons: vec![vec![self.neutral()]],
                rootstock: self.rootstock(name).ok_or("the rootstock is in no table")?,
                ..Scene::default()
            }]
        } else if is_about_covers(text, other) {
            self.covers(text, other)?
        } else if other.starts_with("continuous") && self.named(text) == [self.crop] {
            self.seasons(other)?
        } else {
            self.seasons(text)?
        };
        let said = format!("{text} {comparison}");
        for scene in &mut scenes {
            finish(scene, text, &said);
        }
        Ok(scenes)
    }

    fn reference(&self, text: &str, treatment: &[Scene]) -> Result<Vec<Scene>, String> {
        let same = |change: &dyn Fn(&mut Scene)| -> Vec<Scene> {
            let mut scenes = treatment.to_vec();
            scenes.iter_mut().for_each(change);
            scenes
        };
        let mut scenes = if text.contains("non-grafted") || text.contains("ungrafted") {
            same(&|scene| scene.rootstock = Box::default())
        } else if text.starts_with("same land") || text.starts_with("fumigated") {
            same(&|scene| scene.treated.clear())
        } else if text.contains("same cultivar") {
            same(&|scene| scene.extent = None)
        } else if text.contains("left on the surface") {
            same(&|scene| scene.dug_in = Some(false))
        } else if text.contains("cover crop or harvested crop") {
            same(&|scene| scene.dug_in = None)
        } else if ["no cover", "fallow", "bare soil"].iter().any(|word| text.contains(word))
            && treatment.iter().any(|scene| !scene.covers.is_empty())
        {
            same(&|scene| scene.covers.clear())
        } else if treatment.iter().any(|scene| !scene.covers.is_empty()) {
            self.covers(text, text)?
        } else {
            self.seasons(text)?
        };
        for scene in &mut scenes {
            finish(scene, text, text);
        }
        Ok(scenes)
    }

    /// The rootstock of a name, if the tables have it; without a name, that of the crop that resists
    /// most in the tables.
    fn rootstock(&self, name: &str) -> Option<Box<str>> {
        let rows = self.knowledge.rootstocks.rows();
        if !name.is_empty() {
            let known = rows.iter().find(|row| fold(&row.name) == fold(name));
            return known.map(|row| row.name.clone());
        }
        let usual = rows
            .iter()
            .filter(|row| row.scions.contains(&self.crop))
            .max_by_key(|row| (row.resists.len(), std::cmp::Reverse(row.key.clone())));
        Some(usual.map_or_else(|| "unnamed".into(), |row| row.name.clone()))
    }

    /// What stood, then a cover over winter, for the side of a row that speaks of covers.
    fn covers(&self, text: &str, other: &str) -> Result<Vec<Scene>, String> {
        let crop = &self.knowledge.crops[self.crop];
        let base = if other.contains(&format!("{0} after {0}", crop.name)) || text.contains("two ")
        {
            self.crop
        } else if let Some(after) = text.split("after ").nth(1) {
            self.named(after).first().copied().unwrap_or(self.neutral())
        } else {
            self.neutral()
        };
        let scene =
            |covers: Vec<CropId>| Scene { seasons: vec![vec![base]], covers, ..Scene::default() };
        let of = |meant: &dyn Fn(&Crop) -> bool| -> Vec<CropId> {
            let covers = self.knowledge.crops.iter().filter(|(_, crop)| crop.role == Role::Cover);
            covers.filter(|(_, crop)| meant(crop)).map(|(id, _)| id).collect()
        };
        let legumes = of(&|crop| crop.is_legume());
        let grasses = of(&|crop| &*crop.family == "Poaceae");
        if text.contains("mixture") {
            let (legumes, grasses) = (sample(&legumes), sample(&grasses));
            return Ok(legumes.iter().zip(&grasses).map(|(a, b)| scene(vec![*a, *b])).collect());
        }
        let before_after = text.split("after ").next().unwrap_or_default();
        let named: Vec<CropId> =
            self.named(before_after).into_iter().filter(|named| *named != self.crop).collect();
        if !named.is_empty() {
            return Ok(vec![scene(named)]);
        }
        let meant = if text.contains("non-legume broadleaf") {
            of(&|crop| !crop.is_legume() && &*crop.family != "Poaceae")
        } else if text.contains("legume") {
            legumes
        } else if text.contains("grass") {
            grasses
        } else if text.contains("cover") {
            of(&|_| true)
        } else {
            return Err(format!("no cover is named in \"{text}\""));
        };
        Ok(sample(&meant).into_iter().map(|cover| scene(vec![cover])).collect())
    }

    /// Seasons of crops, for the side of a row that speaks of what stood before.
    fn seasons(&self, text: &str) -> Result<Vec<Scene>, String> {
        let scene = |seasons: Vec<Vec<CropId>>| Scene { seasons, ..Scene::default() };
        let once = |crops: &[CropId]| scene(crops.iter().map(|crop| vec![*crop]).collect());
        if text.contains("spore load") || text.contains("inoculum") {
            return Ok(vec![once(&[self.crop])]);
        }
        if text.contains("never under") {
            return Ok(vec![once(&[self.neutral()])]);
        }
        if text.contains("vegetables") && text.contains(" and ") && !text.contains("after") {
            return Err("the order of the crops is not told".to_owned());
        }
        if let Some(after) =
            text.strip_prefix("first ").and_then(|text| text.split("after ").nth(1))
        {
            let first = self.named(after);
            return Ok(first.iter().map(|crop| once(&[*crop])).collect());
        }
        if let Some(after) = text.split("second year after ").nth(1) {
            let first = self.named(after);
            let first = first.first().ok_or("the crop before is not known")?;
            return Ok(vec![once(&[self.crop, *first, self.crop])]);
        }
        let number = first_number(text);
        let named = self.named(text);
        let own_years = number.filter(|_| named.first() == Some(&self.crop)).unwrap_or(5);
        if ["continuous", "monocult", "monocrop", "same vegetable several"]
            .iter()
            .any(|word| text.contains(word))
            || (text.contains("years of") && named.first() == Some(&self.crop))
        {
            let years = if text.contains("third year") {
                3
            } else if text.contains("continuous") {
                number.filter(|years| *years >= 2).map_or(5, |years| years - 1)
            } else {
                own_years
            };
            return Ok(vec![once(&vec![self.crop; years.clamp(1, 8)])]);
        }
        if let Some(course) = self.course(text) {
            return Ok(vec![once(&course)]);
        }
        if text.contains("course rotation") {
            return Ok(vec![self.break_of(2, &named)]);
        }
        if let Some(years) = number.filter(|_| text.contains("break") || text.contains("interval"))
        {
            let years = years - usize::from(text.starts_with("interval"));
            let last = last_of_range(text).unwrap_or(years);
            let mean = usize::midpoint(years, last.max(years));
            return Ok(vec![self.break_of(mean, &named)]);
        }
        if text.contains(" then ") {
            let mut course = vec![self.crop];
            let repeat = number.unwrap_or(1);
            for crop in named.iter().filter(|crop| **crop != self.crop) {
                course.extend(vec![
                    *crop;
                    if named.len() == 2 && named[1] == self.crop {
                        repeat
                    } else {
                        1
                    }
                ]);
            }
            return Ok(vec![once(&course)]);
        }
        if text.contains(" after ") {
            let after = text.rsplit("after ").next().unwrap_or_default();
            let before = text.split(" after").next().unwrap_or_default();
            // "other vegetables (second and third crop after peanut)" speaks of what lies between.
            if before.contains("other") {
                let between = self.all.iter().filter(|crop| **crop != self.crop);
                let first = self.named(after);
                return Ok(between
                    .map(|crop| scene(first.iter().chain([crop]).map(|one| vec![*one]).collect()))
                    .collect());
            }
            if self.named(after).first() == Some(&self.crop) {
                return Ok(vec![once(&[self.crop, self.crop])]);
            }
            return self.predecessors(after);
        }
        if let Some(after) = text.strip_prefix("after ") {
            return self.predecessors(after);
        }
        if let Some((_, after)) = text.split_once(" on ") {
            return self.predecessors(after);
        }
        self.predecessors(text)
    }

    /// The crop, a break of years, then the crop proposed.
    fn break_of(&self, years: usize, named: &[CropId]) -> Scene {
        let filler = named.iter().find(|named| **named != self.crop);
        let filler = filler.copied().unwrap_or(self.neutral());
        let mut seasons = vec![vec![self.crop]];
        seasons.extend(vec![vec![filler]; years]);
        Scene { seasons, ..Scene::default() }
    }

    /// Crops of which any one came before; each is an alternative.
    fn predecessors(&self, text: &str) -> Result<Vec<Scene>, String> {
        let repeat = if text.contains("2 crops") || text.contains("2 years") { 2 } else { 1 };
        let season = |crop: CropId| {
            let mut seasons = vec![vec![self.crop]];
            seasons.extend(vec![vec![crop]; repeat]);
            Scene { seasons, ..Scene::default() }
        };
        let mut named = self.named(text);
        if named.len() > 1 || text.contains("row-crop") {
            named.retain(|crop| *crop != self.crop);
        }
        let in_groups: Vec<fn(&Crop) -> bool> = [
            ("pulse", is_grain_legume as fn(&Crop) -> bool),
            ("grain legume", is_grain_legume),
            ("non-cereal", |crop| &*crop.family != "Poaceae" && &*crop.edible_part == "seed"),
            ("broadleaf", |crop| &*crop.family != "Poaceae" && &*crop.edible_part == "seed"),
            ("cereal", is_cereal),
            ("row-crop", |crop| crop.role == Role::Field && &*crop.family != "Fabaceae"),
            ("legume", Crop::is_legume),
        ]
        .into_iter()
        .filter(|(word, _)| text.contains(word))
        .map(|(_, meant)| meant)
        .take(if text.contains("non-cereal") || text.contains("grain legume") { 1 } else { 2 })
        .collect();
        let other = ["other crop", "another crop", "all stubbles", "change of crop", "never under"]
            .iter()
            .any(|word| text.contains(word));
        if named.is_empty() {
            let crops = self.knowledge.crops.iter();
            named = crops
                .filter(|(id, crop)| {
                    *id != self.crop
                        && (in_groups.iter().any(|meant| meant(crop))
                            || (other
                                && matches!(crop.role, Role::Cash | Role::Field)
                                && *crop.family != *self.family(self.crop)))
                })
                .map(|(id, _)| id)
                .collect();
        }
        if named.is_empty() && in_groups.is_empty() && !text.contains("fallow") {
            return Err(format!("no history is named in \"{text}\""));
        }
        let mut scenes: Vec<Scene> = sample(&named).into_iter().map(season).collect();
        if text.contains("fallow") {
            scenes.push(Scene { seasons: vec![vec![self.crop], Vec::new()], ..Scene::default() });
        }
        Ok(scenes)
    }

    /// Crops that a text names, in its order, each once.
    fn named(&self, text: &str) -> Vec<CropId> {
        let folded = fold(text);
        let words: Vec<&str> = folded
            .split(|letter: char| !letter.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        let mut found = Vec::new();
        let mut at = 0;
        while at < words.len() {
            let longest = (1..=3.min(words.len() - at)).rev().find_map(|count| {
                let name = words[at..at + count].join(" ");
                if name.len() < 3 || NOT_CROPS.contains(&&*name) {
                    return None;
                }
                let crop = self.knowledge.names.crop(&self.knowledge.crops, &name).ok()?;
                Some((crop, count))
            });
            let Some((crop, count)) = longest else {
                at += 1;
                continue;
            };
            at += count;
            let crop = self.as_in_trials(crop, &folded);
            if !found.contains(&crop) {
                found.push(crop);
            }
        }
        found
    }

    /// What a short name means in a trial: the crop proposed, if it is of the same species, and
    /// the field crop for "corn" and "maize".
    fn as_in_trials(&self, crop: CropId, text: &str) -> CropId {
        let crops = &self.knowledge.crops;
        let species = |crop: CropId| -> Vec<String> {
            crops[crop].scientific_name.split(' ').take(2).map(str::to_owned).collect()
        };
        if species(crop) == species(self.crop) && !crops[crop].scientific_name.contains("group") {
            return self.crop;
        }
        match crops.find("field_corn") {
            Some(field) if species(crop) == species(field) && !text.contains("sweet corn") => field,
            _ => crop,
        }
    }

    /// A course written as `barley-onion-carrot`: the seasons before the crop comes round.
    fn course(&self, text: &str) -> Option<Vec<CropId>> {
        text.split([' ', '(', ')', ',', ';']).find_map(|word| {
            let crops: Vec<CropId> = word
                .split('-')
                .map(|name| self.named(name).first().copied())
                .collect::<Option<_>>()?;
            let at = crops.iter().position(|crop| *crop == self.crop)?;
            (crops.len() > 1).then(|| [&crops[at..], &crops[..at]].concat())
        })
    }
}

/// Whether a winter's cover is meant and not a crop of its own season.
fn is_about_covers(text: &str, other: &str) -> bool {
    (text.contains("cover") || other.contains("fallow"))
        && !text.contains("green manure")
        && !text.contains("years of")
}

/// Words of the texts that also name a plant, but not here.
const NOT_CROPS: [&str; 4] = ["crop", "cover", "rotation", "names"];

/// Soil treatments, residue, resistance and inoculum of a side.
fn finish(scene: &mut Scene, text: &str, said: &str) {
    if text.contains("fumigated") && !said.contains("not fumigated")
        || text.contains("nematicide") && !text.contains("no nematicide")
    {
        scene.treated.push("fumigation");
    }
    if text.contains("solarization") {
        scene.treated.push("solarization");
    }
    if text.contains("green manure")
        || text.contains("incorporated")
        || text.contains("residue plus")
    {
        scene.dug_in = Some(true);
    }
    if text.contains("resistant cultivar") {
        scene.resistance = "resistant";
    }
    if text.contains("high ") && text.contains("load") {
        scene.extent = Some(Extent::Severe);
    } else if text.contains("low inoculum") {
        scene.extent = Some(Extent::Trace);
    }
}

fn first_number(text: &str) -> Option<usize> {
    text.split(|letter: char| !letter.is_ascii_digit()).find_map(|digits| digits.parse().ok())
}

/// The end of a range such as `1 to 3 years`.
fn last_of_range(text: &str) -> Option<usize> {
    text.split(" to ").nth(1).and_then(|rest| rest.split(' ').next()?.parse().ok())
}
