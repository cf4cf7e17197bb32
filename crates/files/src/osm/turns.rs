//! Forbidden and ordered turns, from the relations that state them to the links of the network.
//!
//! # Source
//! OpenStreetMap wiki, "Relation:restriction".

use std::collections::HashMap;

use gangday_model::{Network, Passage, Turn};

use super::gather::{Member, Tally};
use super::links::Laid;
use super::tags::Tags;
use super::wire::Broken;

/// A ban on turning, or an order to turn, by the ids of the map.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Ban {
    pub(super) id: i64,
    pub(super) from: Vec<i64>,
    pub(super) via: Via,
    pub(super) to: Vec<i64>,
    pub(super) only: bool,
}

/// By way of what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Via {
    Node(i64),
    Ways(Vec<i64>),
}

impl Via {
    pub(super) fn len(&self) -> usize {
        match self {
            Self::Node(_) => 1,
            Self::Ways(ways) => ways.len(),
        }
    }
}

/// What a relation says of turning.
pub(super) enum BanRead {
    /// Nothing, or nothing for works vehicles.
    None,
    /// Something at times.
    Timed,
    /// Something for heavy vehicles alone.
    Heavy,
    /// Something incomplete.
    Bad,
    Ban(Ban),
}

/// Reads a relation.
pub(super) fn read<'a>(
    tags: &Tags<'_>,
    id: i64,
    members: impl FnOnce() -> Result<Option<Vec<Member<'a>>>, Broken>,
) -> Result<BanRead, Broken> {
    if tags.get("type") != Some("restriction") {
        return Ok(BanRead::None);
    }
    let plain = [
        "restriction",
        "restriction:motor_vehicle",
        "restriction:motorcar",
    ];
    let Some(value) = plain.iter().find_map(|key| tags.get(key)) else {
        let has = |key: &str| tags.get(key).is_some();
        let timed = tags.0.iter().any(|(key, _)| key.ends_with(":conditional"));
        return Ok(
            match (timed, has("restriction:hgv") || has("restriction:goods")) {
                (true, _) => BanRead::Timed,
                (_, true) => BanRead::Heavy,
                _ => BanRead::None,
            },
        );
    };
    let except = tags.get("except").unwrap_or_default();
    let is_excepted = except
        .split(';')
        .any(|who| matches!(who.trim(), "motorcar" | "motor_vehicle" | "vehicle"));
    if is_excepted {
        return Ok(BanRead::None);
    }
    if ["day_on", "hour_on"]
        .iter()
        .any(|key| tags.get(key).is_some())
    {
        return Ok(BanRead::Timed);
    }
    let only = value.starts_with("only_");
    if !only && !value.starts_with("no_") {
        return Ok(BanRead::Bad);
    }
    let ban = members()?.and_then(|members| of_members(id, &members, only));
    Ok(ban.map_or(BanRead::Bad, BanRead::Ban))
}

fn of_members(id: i64, members: &[Member<'_>], only: bool) -> Option<Ban> {
    let ways = |role: &str| -> Vec<i64> {
        let of_role = members
            .iter()
            .filter(|member| member.is_way && member.role == role);
        of_role.map(|member| member.id).collect()
    };
    let (from, to, via_ways) = (ways("from"), ways("to"), ways("via"));
    let via_nodes: Vec<i64> = members
        .iter()
        .filter(|member| member.is_node && member.role == "via")
        .map(|member| member.id)
        .collect();
    let via = match (via_nodes.as_slice(), via_ways.is_empty()) {
        ([node], true) => Via::Node(*node),
        ([], false) => Via::Ways(via_ways),
        _ => return None,
    };
    // Only no_entry has several beginnings, only no_exit several ends; an order has one of each.
    let several = from.len().max(to.len());
    let sound = from.len().min(to.len()) == 1 && (several == 1 || !only);
    sound.then_some(Ban {
        id,
        from,
        via,
        to,
        only,
    })
}

/// Puts the bans on the links, and those of barriers with them.
pub(super) fn lay(bans: &[Ban], laid: &Laid, network: &mut Network) -> Tally {
    let mut lost = Tally::default();
    let ways: HashMap<i64, usize> = laid
        .way_ids
        .iter()
        .enumerate()
        .map(|(at, id)| (*id, at))
        .collect();
    for ban in bans {
        let mut turns = Vec::new();
        for from in &ban.from {
            for to in &ban.to {
                turns.push(turn(ban, *from, *to, &ways, laid, network));
            }
        }
        match turns.into_iter().collect::<Option<Vec<Turn>>>() {
            Some(turns) => network.turns.extend(turns),
            None => lost.add(ban.id),
        }
    }
    lost
}

fn turn(
    ban: &Ban,
    from: i64,
    to: i64,
    ways: &HashMap<i64, usize>,
    laid: &Laid,
    network: &Network,
) -> Option<Turn> {
    let (from, to) = (*ways.get(&from)?, *ways.get(&to)?);
    match &ban.via {
        Via::Node(node) => {
            let via = laid.junction_of(*node)?;
            let first = touching(network, laid, from, via, Side::Into)?;
            let last = touching(network, laid, to, via, Side::OutOf)?;
            Some(Turn {
                links: vec![first, last],
                via,
                only: ban.only,
            })
        }
        Via::Ways(between) => {
            let between: Option<Vec<usize>> =
                between.iter().map(|way| ways.get(way).copied()).collect();
            let mut between = between?;
            through(&between, from, to, laid, network, ban.only).or_else(|| {
                between.reverse();
                through(&between, from, to, laid, network, ban.only)
            })
        }
    }
}

/// The turn by way of these ways, in this order.
fn through(
    between: &[usize],
    from: usize,
    to: usize,
    laid: &Laid,
    network: &Network,
    only: bool,
) -> Option<Turn> {
    let begins = |way: usize| laid.ends_of(way, network);
    let (one, other) = begins(*between.first()?)?;
    let at_from = |junction: &u32| touching(network, laid, from, *junction, Side::Into).is_some();
    // Where the way between meets the first one at both ends, nobody can say which is meant.
    let via = match (at_from(&one), at_from(&other)) {
        (true, false) => one,
        (false, true) => other,
        _ => return None,
    };
    let mut links = vec![touching(network, laid, from, via, Side::Into)?];
    let mut at = via;
    for way in between {
        let (one, other) = begins(*way)?;
        let range = laid.links_of(*way);
        if at == one {
            links.extend(range);
            at = other;
        } else if at == other {
            links.extend(range.rev());
            at = one;
        } else {
            return None;
        }
    }
    links.push(touching(network, laid, to, at, Side::OutOf)?);
    Some(Turn { links, via, only })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Into,
    OutOf,
}

/// The one link of a way on which a vehicle comes to a junction, or leaves it.
fn touching(network: &Network, laid: &Laid, way: usize, junction: u32, side: Side) -> Option<u32> {
    let fits = |at: &u32| {
        let link = &network.links[*at as usize];
        let (towards_end, towards_start) = (link.along, link.against);
        let (at_end, at_start) = (link.to == junction, link.from == junction);
        let open = |passage: Passage| passage != Passage::Shut;
        match side {
            Side::Into => (at_end && open(towards_end)) || (at_start && open(towards_start)),
            Side::OutOf => (at_start && open(towards_end)) || (at_end && open(towards_start)),
        }
    };
    let mut all = laid.links_of(way).filter(fits);
    let first = all.next()?;
    all.next().is_none().then_some(first)
}

/// The most links that may meet at a barrier: more would be an error of the map.
const AT_BARRIER: usize = 8;

/// Bans going through each barrier; says at how many too many ways meet.
pub(super) fn bar(laid: &Laid, network: &mut Network) -> usize {
    let mut at: HashMap<u32, Vec<u32>> = laid
        .barred
        .iter()
        .map(|junction| (*junction, Vec::new()))
        .collect();
    let mut visit = |junction: u32, index: u32| {
        if let Some(links) = at.get_mut(&junction)
            && links.len() <= AT_BARRIER
            && links.last() != Some(&index)
        {
            links.push(index);
        }
    };
    for (index, link) in (0_u32..).zip(&network.links) {
        if link.along != Passage::Shut || link.against != Passage::Shut {
            visit(link.from, index);
            visit(link.to, index);
        }
    }
    let mut crowded = 0;
    for via in &laid.barred {
        let links = &at[via];
        if links.len() > AT_BARRIER {
            crowded += 1;
            continue;
        }
        let pairs = links
            .iter()
            .flat_map(|one| links.iter().map(move |other| (*one, *other)));
        let through = pairs.filter(|(one, other)| one != other);
        network.turns.extend(through.map(|(one, other)| Turn {
            links: vec![one, other],
            via: *via,
            only: false,
        }));
    }
    crowded
}
