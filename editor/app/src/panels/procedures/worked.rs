//! What the rules say of the procedures, worked out once for each change of the document.

use std::sync::Arc;

use chockstone_rules::plan::{self, StepFault};
use chockstone_schema::{
    Profile,
    report::{Finding, Reference, Trust},
};

use super::between::Told;

/// What was worked out.
#[derive(Debug)]
pub(super) struct Worked {
    /// Of which revision of the document.
    pub(super) revision: u64,
    /// What each procedure comes to.
    pub(super) told: Vec<Told>,
    /// What the checks say of the profile, and what a walk finds besides.
    pub(super) findings: Arc<[Finding]>,
}

impl Worked {
    /// Walks every procedure of a profile.
    pub(super) fn of(profile: &Profile, revision: u64, checked: &[Finding]) -> Self {
        let mut told = Vec::new();
        let mut findings = checked.to_vec();
        for index in 0..profile.procedures.len() {
            let walked = plan::walk(profile, index);
            told.push(Told::of(profile, index, &walked));
            for fault in &walked.faults {
                if !is_told(checked, fault) {
                    findings.push(finding(fault));
                }
            }
        }
        Self {
            revision,
            told,
            findings: findings.into(),
        }
    }
}

/// Whether a check has found the same.
fn is_told(checked: &[Finding], fault: &StepFault) -> bool {
    checked
        .iter()
        .any(|finding| finding.place == fault.place && finding.message == fault.message)
}

fn finding(fault: &StepFault) -> Finding {
    Finding {
        check: "procedure-walk".to_owned(),
        severity: fault.severity,
        place: fault.place.clone(),
        message: fault.message.clone(),
        computed: None,
        limit: None,
        reference: Reference {
            title: "what the steps themselves say, one after another".to_owned(),
            trust: Trust::Logic,
        },
        settle: fault.settle.clone(),
    }
}
