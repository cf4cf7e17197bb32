//! The times of a chain, worked out again only as far as a change reaches.

use super::chains::Chains;

impl Chains<'_> {
    /// Works out the earliest ends of what follows the link, until nothing changes; false where
    /// something would be late.
    pub(crate) fn retime_after(&mut self, link: u32) -> bool {
        let mut before = *self.link(link);
        loop {
            let arrive = before.finish + before.leg;
            if !self.is_task(before.next) {
                return arrive <= self.plain.end;
            }
            let site = self.plain.sites[before.next as usize];
            let start = arrive.max(site.open);
            let finish = start + site.work;
            if start > site.due {
                return false;
            }
            let next = before.next;
            if self.link(next).finish == finish {
                return true;
            }
            self.edit(next).finish = finish;
            before = *self.link(next);
        }
    }

    /// Works out the latest starts of what comes before the link, until nothing changes.
    pub(crate) fn retime_before(&mut self, link: u32) {
        let mut after = *self.link(link);
        loop {
            let at = after.prev;
            if !self.is_task(at) {
                return;
            }
            let site = self.plain.sites[at as usize];
            let latest = site.due.min(after.latest - self.link(at).leg - site.work);
            if self.link(at).latest == latest {
                return;
            }
            self.edit(at).latest = latest;
            after = *self.link(at);
        }
    }
}
