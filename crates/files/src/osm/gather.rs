//! The first reading of an extract: the ways that somebody moves on, and the turns that are
//! forbidden.

use std::collections::HashMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::addresses::{self, Building};
use super::block::{Block, Census, Tagged, Thing};
use super::tags::{About, Tags, about};
use super::turns::{self, Ban, BanRead};
use super::wire::Broken;

/// The most nodes that a way of the map may have.
///
/// # Source
/// OpenStreetMap API v0.6, capabilities: `waynodes maximum="2000"`.
const WAY_NODES: usize = 2000;
/// The most characters of a value (same source).
const VALUE_CHARS: usize = 255;
/// What a way costs beside its nodes and its name, roughly, from here to the finished network.
const WAY_COST: usize = 400;
/// The same for each of its nodes.
const NODE_COST: usize = 200;
/// What a ban on turning costs, and each of its members.
const BAN_COST: usize = 200;

/// A way that somebody moves on.
#[derive(Clone, Debug)]
pub(super) struct Way {
    pub(super) id: i64,
    pub(super) nodes: Vec<i64>,
    pub(super) name: Option<Arc<str>>,
    pub(super) about: About,
}

/// What is kept of an extract, or of one block of it.
#[derive(Debug, Default)]
pub(super) struct Gathered {
    pub(super) ways: Vec<Way>,
    pub(super) bans: Vec<Ban>,
    /// Buildings with an address.
    pub(super) buildings: Vec<Building>,
    pub(super) census: Census,
    /// Addresses of buildings of several outlines, which are left out.
    pub(super) split_buildings: Tally,
    /// Ways left out, with the first one's id.
    pub(super) bad_ways: Tally,
    /// Bans on turning that are incomplete.
    pub(super) bad_bans: Tally,
    /// Bans that hold only at times.
    pub(super) timed_bans: usize,
    /// Bans for heavy vehicles alone.
    pub(super) heavy_bans: usize,
}

impl Gathered {
    /// Takes what was kept of the next block.
    pub(super) fn join(&mut self, other: Self) {
        self.ways.extend(other.ways);
        self.bans.extend(other.bans);
        self.buildings.extend(other.buildings);
        self.split_buildings.join(other.split_buildings);
        self.census.ways += other.census.ways;
        self.census.relations += other.census.relations;
        self.bad_ways.join(other.bad_ways);
        self.bad_bans.join(other.bad_bans);
        self.timed_bans += other.timed_bans;
        self.heavy_bans += other.heavy_bans;
    }

    /// Puts ways and bans in the order of their ids, each id once, the first statement of it; says
    /// how many were stated again.
    pub(super) fn put_in_order(&mut self) -> usize {
        let before = self.ways.len() + self.bans.len();
        self.ways.sort_by_key(|way| way.id);
        self.ways.dedup_by_key(|way| way.id);
        self.bans.sort_by_key(|ban| ban.id);
        self.bans.dedup_by_key(|ban| ban.id);
        let twice = before - self.ways.len() - self.bans.len();
        let before = self.buildings.len();
        self.buildings.sort_by_key(|building| building.id);
        self.buildings.dedup_by_key(|building| building.id);
        twice + before - self.buildings.len()
    }
}

/// How many of a kind, and which was the first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Tally {
    pub(super) count: usize,
    pub(super) first: Option<i64>,
}

impl Tally {
    pub(super) fn add(&mut self, id: i64) {
        self.count += 1;
        self.first.get_or_insert(id);
    }

    pub(super) fn join(&mut self, other: Self) {
        self.count += other.count;
        self.first = self.first.or(other.first);
    }
}

/// The memory that everything kept of an extract may take, shared by those who read blocks.
pub(super) struct Purse {
    left: AtomicUsize,
    is_spent: AtomicBool,
}

impl Purse {
    pub(super) fn of(bytes: usize) -> Self {
        Self {
            left: AtomicUsize::new(bytes),
            is_spent: AtomicBool::new(false),
        }
    }

    /// Pays for what is to be kept; where there is not enough left, the reading is over.
    pub(super) fn pay(&self, bytes: usize) -> Result<(), Broken> {
        let order = Ordering::Relaxed;
        let paid = self
            .left
            .fetch_update(order, order, |left| left.checked_sub(bytes));
        if paid.is_ok() {
            return Ok(());
        }
        self.is_spent.store(true, order);
        Err(Broken)
    }

    pub(super) fn is_spent(&self) -> bool {
        self.is_spent.load(Ordering::Relaxed)
    }
}

/// Reads one block.
pub(super) fn gather(block: &Block<'_>, purse: &Purse) -> Result<Gathered, Broken> {
    let mut ways = WayReader {
        block,
        purse,
        names: HashMap::new(),
        out: Gathered::default(),
    };
    let mut bans = Gathered::default();
    let census = block.ways_and_relations(&mut |thing| ways.way(thing), &mut |thing| {
        if addresses::has_number(block, thing.tagged())? {
            bans.split_buildings.add(thing.id as i64);
        }
        ban(block, thing, purse, &mut bans)
    })?;
    Ok(Gathered {
        ways: ways.out.ways,
        buildings: ways.out.buildings,
        bad_ways: ways.out.bad_ways,
        census,
        ..bans
    })
}

struct WayReader<'b, 'a> {
    block: &'b Block<'a>,
    purse: &'b Purse,
    names: HashMap<&'a str, Arc<str>>,
    out: Gathered,
}

impl<'a> WayReader<'_, 'a> {
    fn way(&mut self, thing: &Thing<'a>) -> Result<(), Broken> {
        let id = thing.id as i64;
        let building = addresses::of_way(self.block, thing, self.purse)?;
        self.out.buildings.extend(building);
        let Some(tags) = tags_with(self.block, thing, "highway")? else {
            return Ok(());
        };
        let Ok(tags) = tags else {
            self.out.bad_ways.add(id);
            return Ok(());
        };
        let Some(about) = about(&tags) else {
            return Ok(());
        };
        let count = thing.eight.count();
        if count > WAY_NODES {
            self.out.bad_ways.add(id);
            return Ok(());
        }
        let name = tags.get("name").map(str::trim).filter(|name| is_name(name));
        let cost = WAY_COST + count * NODE_COST + name.map_or(0, str::len);
        self.purse.pay(cost)?;
        let nodes: Vec<i64> = thing.eight.deltas().collect::<Result<_, _>>()?;
        if nodes.len() < 2 {
            self.out.bad_ways.add(id);
            return Ok(());
        }
        let name = name.map(|name| {
            let kept = self.names.entry(name).or_insert_with(|| name.into());
            Arc::clone(kept)
        });
        self.out.ways.push(Way {
            id,
            nodes,
            name,
            about,
        });
        Ok(())
    }
}

/// Whether a value can be shown: not empty, not longer than the map allows, of one line.
pub(super) fn is_name(name: &str) -> bool {
    !name.is_empty() && name.chars().count() <= VALUE_CHARS && !name.chars().any(char::is_control)
}

fn ban(
    block: &Block<'_>,
    thing: &Thing<'_>,
    purse: &Purse,
    out: &mut Gathered,
) -> Result<(), Broken> {
    let id = thing.id as i64;
    let Some(tags) = tags_with(block, thing, "type")? else {
        return Ok(());
    };
    let Ok(tags) = tags else {
        return Ok(());
    };
    let read = turns::read(&tags, id, || members(block, thing))?;
    match read {
        BanRead::None => {}
        BanRead::Timed => out.timed_bans += 1,
        BanRead::Heavy => out.heavy_bans += 1,
        BanRead::Bad => out.bad_bans.add(id),
        BanRead::Ban(ban) => {
            let cost = BAN_COST * (1 + ban.from.len() + ban.via.len() + ban.to.len());
            purse.pay(cost)?;
            out.bans.push(ban);
        }
    }
    Ok(())
}

/// A member of a relation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Member<'a> {
    pub(super) role: &'a str,
    pub(super) id: i64,
    pub(super) is_way: bool,
    pub(super) is_node: bool,
}

/// A ban on turning has three members, or a few more; a long list is none.
const MEMBERS: usize = 64;

fn members<'a>(block: &Block<'a>, thing: &Thing<'a>) -> Result<Option<Vec<Member<'a>>>, Broken> {
    let mut kinds = thing.ten;
    let mut roles = thing.eight;
    let mut members = Vec::new();
    for id in thing.nine.deltas() {
        let (id, kind, role) = (id?, kinds.next(), roles.next());
        let (Some(kind), Some(role)) = (kind, role) else {
            return Ok(None);
        };
        let (kind, Some(role)) = (kind?, block.text(role?)) else {
            return Ok(None);
        };
        if members.len() == MEMBERS {
            return Ok(None);
        }
        members.push(Member {
            role,
            id,
            is_way: kind == 1,
            is_node: kind == 0,
        });
    }
    Ok(Some(members))
}

/// A tag that names a text that is not there.
#[derive(Clone, Copy, Debug)]
pub(super) struct NoText;

/// The most tags of a thing that are looked at; the map itself allows no more than 600 or so.
const TAGS: usize = 1000;

/// A thing's tags, if it has one of this key.
fn tags_with<'a>(
    block: &Block<'a>,
    thing: &Thing<'a>,
    wanted: &str,
) -> Result<Option<Result<Tags<'a>, NoText>>, Broken> {
    let mut has = false;
    for pair in thing.tagged() {
        has |= block.text(pair?.0) == Some(wanted);
    }
    if !has {
        return Ok(None);
    }
    tags_in(block, thing.tagged()).map(Some)
}

/// All of a thing's tags.
pub(super) fn tags_in<'a>(
    block: &Block<'a>,
    tagged: Tagged<'a>,
) -> Result<Result<Tags<'a>, NoText>, Broken> {
    let mut tags = Vec::new();
    for pair in tagged.take(TAGS) {
        let (key, value) = pair?;
        match (block.text(key), block.text(value)) {
            (Some(key), Some(value)) => tags.push((key, value)),
            _ => return Ok(Err(NoText)),
        }
    }
    Ok(Ok(Tags(tags)))
}
