//! Lists whose members are named by ids of their own: an id of a response finds a response and nothing else.
//!
//! What enters: members in order. What leaves: ids, and the members by them. What the members are, nothing here knows.
//!
//! The kept crates for typed indices ask for an index type of one's own for each kind of member, with its conversions; here the
//! id's type is the member's, and nothing is declared for it.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Deref, DerefMut, Index, IndexMut};

/// The place of a member in the one list of its kind.
pub struct Id<T> {
    index: usize,
    of: PhantomData<fn() -> T>,
}

impl<T> Id<T> {
    /// The id of the member at a place, counted from zero, of a list that may still be in the making.
    pub const fn at(index: usize) -> Self {
        Self { index, of: PhantomData }
    }

    /// The place, counted from zero, for vectors with one entry a member.
    pub const fn index(self) -> usize {
        self.index
    }
}

impl<T> Clone for Id<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Id<T> {}

impl<T> PartialEq for Id<T> {
    fn eq(&self, other: &Self) -> bool {
        self.index == other.index
    }
}

impl<T> Eq for Id<T> {}

impl<T> PartialOrd for Id<T> {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl<T> Ord for Id<T> {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.index.cmp(&other.index)
    }
}

impl<T> fmt::Debug for Id<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.index)
    }
}

/// Members in order, each found by its id; as a slice for all that needs no ids.
#[derive(Clone, Debug)]
pub struct Listed<T> {
    members: Vec<T>,
}

impl<T> Listed<T> {
    /// The ids in order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = Id<T>> + ExactSizeIterator + use<T> {
        (0..self.members.len()).map(Id::at)
    }

    /// Each member with its id, in order.
    pub fn named(&self) -> impl DoubleEndedIterator<Item = (Id<T>, &T)> + ExactSizeIterator {
        self.members.iter().enumerate().map(|(index, member)| (Id::at(index), member))
    }

    /// Each member with its id, to be changed.
    pub fn named_mut(&mut self) -> impl Iterator<Item = (Id<T>, &mut T)> {
        self.members.iter_mut().enumerate().map(|(index, member)| (Id::at(index), member))
    }

    /// The first member that is so.
    pub fn find_id(&self, is_so: impl FnMut(&T) -> bool) -> Option<Id<T>> {
        self.members.iter().position(is_so).map(Id::at)
    }

    /// One member more, at the end; its id.
    pub fn push(&mut self, member: T) -> Id<T> {
        self.members.push(member);
        Id::at(self.members.len() - 1)
    }
}

impl<T> Default for Listed<T> {
    fn default() -> Self {
        Self { members: Vec::new() }
    }
}

impl<T> From<Vec<T>> for Listed<T> {
    fn from(members: Vec<T>) -> Self {
        Self { members }
    }
}

impl<T> FromIterator<T> for Listed<T> {
    fn from_iter<I: IntoIterator<Item = T>>(members: I) -> Self {
        Self { members: members.into_iter().collect() }
    }
}

impl<T> Extend<T> for Listed<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, members: I) {
        self.members.extend(members);
    }
}

impl<T> Deref for Listed<T> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.members
    }
}

impl<T> DerefMut for Listed<T> {
    fn deref_mut(&mut self) -> &mut [T] {
        &mut self.members
    }
}

impl<T> Index<Id<T>> for Listed<T> {
    type Output = T;

    fn index(&self, id: Id<T>) -> &T {
        &self.members[id.index]
    }
}

impl<T> IndexMut<Id<T>> for Listed<T> {
    fn index_mut(&mut self, id: Id<T>) -> &mut T {
        &mut self.members[id.index]
    }
}

impl<'l, T> IntoIterator for &'l Listed<T> {
    type Item = &'l T;
    type IntoIter = std::slice::Iter<'l, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.members.iter()
    }
}

impl<'l, T> IntoIterator for &'l mut Listed<T> {
    type Item = &'l mut T;
    type IntoIter = std::slice::IterMut<'l, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.members.iter_mut()
    }
}
