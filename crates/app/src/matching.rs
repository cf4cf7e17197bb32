//! Which jobs of the programme the rows of a list are about.

use std::collections::{HashMap, HashSet, VecDeque};

use gangday_ground::{PlaceIndex, Plane};
use gangday_model::{Job, JobId, LonLat, PlanePoint};

use crate::prepared::Prepared;

/// The property by which a job says whose list it came in.
pub const CLIENT: &str = "client";
/// Nearer than this, two chambers may be one.
///
/// # Source
/// Common practice, no source: about the size of a chamber with its surround.
const NEAR_M: f64 = 2.0;

/// A sound row of a list.
pub struct ReadRow {
    /// The job that it says.
    pub job: Job,
    /// Which row, from 0.
    pub row: usize,
    /// Whether the row states no id of its own, so that the job's was made.
    pub made: bool,
}

/// Of each row, the place in the programme of the job that it is about, if any. A row that states
/// an id is about the job that has it and no other. A made id says nothing: such a row is about the
/// nearest job within two metres that the list does not state (`stated`: all its ids, those of faulty
/// rows too), that no other row is nearer to, and that is not another client's. What is left of those
/// rows gets the first of the made ids.
pub fn matched(
    (rows, stated): (&mut [ReadRow], &HashSet<String>),
    prepared: &Prepared,
    there: &Neighbours<'_>,
    client: Option<&str>,
) -> Vec<Option<usize>> {
    let by_id = |row: &ReadRow| prepared.index_of(&row.job.id).filter(|_| !row.made);
    let mut matches: Vec<Option<usize>> = rows.iter().map(by_id).collect();
    let made: Vec<usize> = (0..rows.len()).filter(|nth| rows[*nth].made).collect();
    if made.is_empty() {
        return matches;
    }
    let mut met: HashSet<usize> = spoken_of(stated, prepared).collect();
    let jobs = &prepared.programme.jobs;
    let may_be = |index: &usize| {
        let of = jobs[*index].extra.get(CLIENT).and_then(|of| of.as_str());
        client.is_none() || of.is_none_or(|of| of.is_empty() || Some(of) == client)
    };
    // First those of exactly the same place, in order, however many there are of one place.
    let mut piles: HashMap<(i64, i64), VecDeque<usize>> = HashMap::new();
    for index in (0..jobs.len()).filter(|index| may_be(index) && !met.contains(index)) {
        let pile = piles.entry(spot(jobs[index].at)).or_default();
        pile.push_back(index);
    }
    for nth in &made {
        let pile = piles.get_mut(&spot(rows[*nth].job.at));
        matches[*nth] = pile.and_then(VecDeque::pop_front);
        met.extend(matches[*nth]);
    }
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for nth in made.iter().filter(|nth| matches[**nth].is_none()) {
        let near = there.near(rows[*nth].job.at).into_iter();
        let near = near.filter(|(index, _)| may_be(index) && !met.contains(index));
        pairs.extend(near.map(|(index, metres)| (metres, *nth, index)));
    }
    pairs.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    for (_, nth, index) in pairs {
        if matches[nth].is_none() && met.insert(index) {
            matches[nth] = Some(index);
        }
    }
    give_ids(rows, &made, &matches);
    matches
}

/// Whose job a row would overwrite that is in the list of somebody else: ids of two clients may be the same.
pub fn of_another<'a>(
    prepared: &'a Prepared,
    at: Option<usize>,
    client: Option<&str>,
) -> Option<&'a str> {
    let of = prepared.programme.jobs[at?].extra.get(CLIENT)?.as_str()?;
    let client = client?;
    (!of.is_empty() && of != client).then_some(of)
}

/// The places in the programme of the jobs with these ids.
pub fn spoken_of(stated: &HashSet<String>, prepared: &Prepared) -> impl Iterator<Item = usize> {
    let ids = stated.iter().map(JobId::new);
    ids.filter_map(|id| prepared.index_of(&id))
}

/// Gives the made ids, in their order, to those rows that are about no job.
fn give_ids(rows: &mut [ReadRow], made: &[usize], matches: &[Option<usize>]) {
    let ids: Vec<_> = made.iter().map(|nth| rows[*nth].job.id.clone()).collect();
    let fresh = made.iter().filter(|nth| matches[**nth].is_none());
    for (nth, id) in fresh.zip(ids) {
        rows[*nth].job.id = id;
    }
}

/// The jobs that are there, by place.
pub struct Neighbours<'a> {
    plane: &'a Plane,
    index: PlaceIndex,
}

impl<'a> Neighbours<'a> {
    /// Of these jobs.
    pub fn of(plane: &'a Plane, jobs: &[Job]) -> Self {
        let nowhere = PlanePoint::from_metres(f64::NAN, f64::NAN);
        let places = jobs
            .iter()
            .map(|job| plane.to_plane(job.at).unwrap_or(nowhere));
        Self {
            plane,
            index: PlaceIndex::new(places),
        }
    }

    /// The nearest job that may be the same chamber, and how many metres away it is.
    pub fn nearest(&self, to: LonLat) -> Option<(usize, f64)> {
        self.near(to).into_iter().next()
    }

    fn near(&self, to: LonLat) -> Vec<(usize, f64)> {
        let near = self
            .plane
            .to_plane(to)
            .map(|to| self.index.within(to, NEAR_M));
        let pair = |near: gangday_ground::Near| (near.index, near.distance_m);
        near.unwrap_or_default().into_iter().map(pair).collect()
    }
}

/// A place to about a centimetre.
pub fn spot(at: LonLat) -> (i64, i64) {
    let fine = |degrees: f64| (degrees * 1e7).round() as i64;
    (fine(at.lon()), fine(at.lat()))
}
