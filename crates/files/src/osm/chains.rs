//! The pieces of a street joined end to end, so that a work near the end of a way of the map still
//! lies in the middle of a line.

use std::collections::BTreeMap;

use super::links::Piece;

/// An end of a piece: its first node or its last.
#[derive(Clone, Copy, PartialEq, Eq)]
struct End {
    piece: usize,
    is_first: bool,
}

impl End {
    fn other(self) -> Self {
        Self {
            is_first: !self.is_first,
            ..self
        }
    }
}

/// The lines of a street. Two pieces are joined where their ends, and no others, meet; a one-way
/// piece keeps its direction and is joined only to one that goes on in it.
pub(super) fn chains(pieces: &[&Piece], one_way: impl Fn(usize) -> bool) -> Vec<Vec<u32>> {
    let one_way: Vec<bool> = pieces.iter().map(|piece| one_way(piece.way)).collect();
    let joined = joints(pieces, &one_way);
    let mut is_used = vec![false; pieces.len()];
    let mut chains = Vec::new();
    for piece in 0..pieces.len() {
        if !is_used[piece] {
            chains.push(chain(pieces, piece, &joined, &mut is_used));
        }
    }
    chains
}

/// For each piece, what is joined to its first and to its last node.
type Joints = Vec<[Option<End>; 2]>;

fn joints(pieces: &[&Piece], one_way: &[bool]) -> Joints {
    let mut meeting: BTreeMap<u32, Vec<End>> = BTreeMap::new();
    for (at, piece) in pieces.iter().enumerate() {
        for (node, is_first) in [(piece.nodes.first(), true), (piece.nodes.last(), false)] {
            if let Some(node) = node {
                let end = End {
                    piece: at,
                    is_first,
                };
                meeting.entry(*node).or_default().push(end);
            }
        }
    }
    let mut joined = vec![[None; 2]; pieces.len()];
    for ends in meeting.values() {
        let [one, other] = ends[..] else {
            continue;
        };
        let alike = one_way[one.piece] == one_way[other.piece];
        let goes_on = !one_way[one.piece] || one.is_first != other.is_first;
        if one.piece != other.piece && alike && goes_on {
            joined[one.piece][usize::from(!one.is_first)] = Some(other);
            joined[other.piece][usize::from(!other.is_first)] = Some(one);
        }
    }
    joined
}

fn next_after(end: End, joined: &Joints) -> Option<End> {
    joined[end.piece][usize::from(!end.is_first)]
}

/// The chain that a piece is in, from its beginning.
fn chain(pieces: &[&Piece], piece: usize, joined: &Joints, is_used: &mut [bool]) -> Vec<u32> {
    let start = End {
        piece,
        is_first: true,
    };
    let mut at = start;
    while let Some(before) = next_after(at, joined) {
        at = before.other();
        if at == start {
            break;
        }
    }
    let mut nodes: Vec<u32> = Vec::new();
    loop {
        is_used[at.piece] = true;
        let of_piece = &pieces[at.piece].nodes;
        let skip = usize::from(!nodes.is_empty());
        if at.is_first {
            nodes.extend(of_piece.iter().skip(skip));
        } else {
            nodes.extend(of_piece.iter().rev().skip(skip));
        }
        match next_after(at.other(), joined) {
            Some(next) if !is_used[next.piece] => at = next,
            _ => return nodes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joined(pieces: &[&[u32]], one_way: &[usize]) -> Vec<Vec<u32>> {
        let pieces: Vec<Piece> = pieces
            .iter()
            .enumerate()
            .map(|(way, nodes)| Piece {
                way,
                nodes: nodes.to_vec(),
            })
            .collect();
        chains(&pieces.iter().collect::<Vec<_>>(), |way| {
            one_way.contains(&way)
        })
    }

    #[test]
    fn pieces_are_joined_whichever_way_round_they_were_drawn() {
        assert_eq!(joined(&[&[1, 2], &[3, 2], &[3, 4]], &[]), [[1, 2, 3, 4]]);
        assert_eq!(joined(&[&[3, 4], &[1, 2], &[2, 3]], &[]), [[1, 2, 3, 4]]);
    }

    #[test]
    fn a_fork_and_a_change_to_one_way_end_a_line() {
        let fork = joined(&[&[1, 2], &[2, 3], &[2, 4]], &[]);
        assert_eq!(fork, [[1, 2], [2, 3], [2, 4]]);
        assert_eq!(joined(&[&[1, 2], &[2, 3]], &[1]), [[1, 2], [2, 3]]);
        assert_eq!(joined(&[&[1, 2], &[3, 2]], &[0, 1]), [[1, 2], [3, 2]]);
        assert_eq!(joined(&[&[2, 3], &[1, 2]], &[0, 1]), [[1, 2, 3]]);
    }

    #[test]
    fn a_ring_is_one_line_that_comes_back() {
        assert_eq!(joined(&[&[1, 2], &[2, 3], &[3, 1]], &[]), [[1, 2, 3, 1]]);
        assert_eq!(joined(&[&[1, 2, 1]], &[]), [[1, 2, 1]]);
    }
}
