//! Limits on the age at cracking at a mix: one condition per point of the grid, and how they are measured.
//!
//! What enters: a problem and a mix. What leaves: failure level less stress, with its slope by each column, and the figures
//! of a limit. One pass over time serves all rows of a mix.

use super::condition::{Curved, Form};
use super::cracking::{asked, in_unit, restrained};
use super::predict::chained;
use super::requirement::{Measured, Requirement, TOLERANCE, Wanted};
use super::whole::Problem;
use crate::listed::Id;
use crate::response::Response;
use crate::response::law::cracking::Cracking;

/// Share of the failure level from which a limit stands at its edge.
const AT_THE_EDGE: f64 = 1.0 - 1e-4;

/// A value and its gradient.
type Sloped = (f64, Vec<f64>);

impl Problem {
    /// The age at cracking in the unit of the response; infinite where nothing cracks by the last day looked at.
    pub fn age_at_cracking(&self, response: Id<Response>, factors: &[f64]) -> Option<f64> {
        let described = &self.responses[response];
        let rule = restrained(described)?;
        Some(in_unit(rule.outcome(&rule.history(factors)), rule, &described.unit))
    }

    /// Responses that are ages at cracking and are limited: a proof may then take a minute, too long where many are asked for.
    pub fn limited_ages(&self) -> Vec<Id<Response>> {
        let mut list: Vec<Id<Response>> = Vec::new();
        for curved in self.curved_conditions() {
            if let Curved::Cracking { response, .. } = curved
                && !list.contains(response)
            {
                list.push(*response);
            }
        }
        list
    }

    /// Limited ages at cracking that a mix does not reach: the response, and by how much at its worst, relative to the
    /// usual level.
    pub fn cracks(&self, mix: &[f64]) -> Vec<(Id<Response>, f64)> {
        let mut list: Vec<(Id<Response>, f64)> = Vec::new();
        let values = self.curved_values(mix);
        let curved = self.conditions.iter().filter(|condition| matches!(condition.form, Form::Curved(_)));
        for (condition, room) in curved.zip(values) {
            let Form::Curved(Curved::Cracking { response, .. }) = condition.form else { continue };
            let missed = -room / condition.scale;
            if 1e-9 < missed {
                match list.iter_mut().find(|(about, _)| *about == response) {
                    Some((_, most)) => *most = most.max(missed),
                    None => list.push((response, missed)),
                }
            }
        }
        list
    }

    /// Failure level less stress at one point of the grid, MPa, with its gradient over the columns of the mix.
    pub(super) fn headroom_gradient(
        &self,
        response: Id<Response>,
        step: usize,
        mix: &[f64],
    ) -> (f64, Vec<f64>) {
        self.headroom_gradients(response, step, mix).pop().unwrap_or((f64::NAN, vec![0.0; mix.len()]))
    }

    /// The same at every point of the grid up to one: one pass over time serves all.
    fn headroom_gradients(&self, response: Id<Response>, last: usize, mix: &[f64]) -> Vec<Sloped> {
        let (factors, derivatives) = self.factors_at(response, mix);
        let Some(rule) = restrained(&self.responses[response]) else { return Vec::new() };
        let by_columns =
            |(value, by_factor): (f64, Vec<f64>)| (value, chained(&by_factor, &derivatives, mix.len()));
        rule.sloped_headrooms(&factors, last).into_iter().map(by_columns).collect()
    }

    /// Value and gradient of every curved condition, in order.
    pub fn curved_gradients(&self, mix: &[f64]) -> Vec<Sloped> {
        let mut rooms: Option<(Id<Response>, Vec<Sloped>)> = None;
        self.curved_conditions()
            .map(|curved| match curved {
                Curved::Cracking { response, step } => {
                    if rooms.as_ref().is_none_or(|(about, _)| about != response) {
                        let last = self.last_row(*response);
                        rooms = Some((*response, self.headroom_gradients(*response, last, mix)));
                    }
                    rooms.as_ref().map(|(_, rooms)| rooms[*step].clone()).unwrap_or_default()
                }
                curved => self.curved(curved, mix),
            })
            .collect()
    }

    /// Value of every curved condition, in order.
    pub fn curved_values(&self, mix: &[f64]) -> Vec<f64> {
        let mut rooms: Option<(Id<Response>, Vec<f64>)> = None;
        self.curved_conditions()
            .map(|curved| match curved {
                Curved::Cracking { response, step } => {
                    if rooms.as_ref().is_none_or(|(about, _)| about != response) {
                        rooms = Some((*response, self.rooms(*response, mix)));
                    }
                    rooms.as_ref().and_then(|(_, rooms)| rooms.get(*step)).copied().unwrap_or(f64::NAN)
                }
                curved => self.curved(curved, mix).0,
            })
            .collect()
    }

    fn curved_conditions(&self) -> impl Iterator<Item = &Curved> {
        self.conditions.iter().filter_map(|condition| match &condition.form {
            Form::Curved(curved) => Some(curved),
            Form::Linear(_) => None,
        })
    }

    /// The last point of the grid that a limit on a response has a row at.
    fn last_row(&self, response: Id<Response>) -> usize {
        let row = |curved: &Curved| match curved {
            Curved::Cracking { response: about, step } if *about == response => Some(*step),
            _ => None,
        };
        self.curved_conditions().filter_map(row).max().unwrap_or(0)
    }

    /// Failure level less stress at every point of the grid that a limit has a row at, MPa.
    fn rooms(&self, response: Id<Response>, mix: &[f64]) -> Vec<f64> {
        let rule = restrained(&self.responses[response]);
        let (factors, _) = self.factors_at(response, mix);
        rule.map(|rule| rule.headrooms(&factors, self.last_row(response))).unwrap_or_default()
    }

    /// A limit on an age at cracking at a mix: judged by the stresses up to the age asked for.
    pub(super) fn measure_cracking(
        &self,
        requirement: &Requirement,
        response: Id<Response>,
        mix: &[f64],
    ) -> Option<Measured> {
        let described = &self.responses[response];
        let rule = restrained(described)?;
        let Wanted::Value(wanted) = requirement.wanted else { return None };
        let factors = self.predict(response, mix)?.factors;
        let history = rule.history(&factors);
        let got = in_unit(rule.outcome(&history), rule, &requirement.unit);
        let used = |step: usize| history.stress[step] / history.level[step];
        let worst = rule.rows_up_to(asked(requirement, rule)?).map(used).fold(0.0, f64::max);
        let margin = requirement.margin.natural;
        let last = in_unit(Cracking::At(rule.setting.horizon), rule, &requirement.unit);
        let slack = if 1.0 + TOLERANCE < worst {
            (got - wanted - margin).min(-2.0 * TOLERANCE * wanted.abs())
        } else if AT_THE_EDGE < worst {
            0.0
        } else {
            (got.min(last) - wanted - margin).max(2e-4 * wanted.abs())
        };
        Some(Measured { wanted, got, margin, slack, scale: wanted.abs().max(1e-9) })
    }
}
