//! A profile as it is for one variant.

use super::{
    Profile,
    axle::Axle,
    identity::{AxleDifference, EnergyDifference, Variant},
};
use crate::{
    id::{AxleRef, Id, VariantRef},
    model::energy::HighVoltage,
};

impl Profile {
    /// The variant with this id.
    pub fn variant(&self, id: &str) -> Option<&Variant> {
        self.variants.iter().find(|v| v.id.as_str() == id)
    }

    /// The profile as it is for one variant: its values put in place of the general ones, and the parts that only
    /// other variants have left out. `None` when the profile has no such variant.
    ///
    /// Weighings of other variants are left out; those of no stated variant stay.
    pub fn for_variant(&self, id: &str) -> Option<Profile> {
        let variant = self.variant(id)?.clone();
        let mut profile = self.clone();
        put_dimensions(&mut profile, &variant);
        put(&mut profile.mass.curb_mass, variant.curb_mass.as_ref());
        put(&mut profile.mass.gvwr, variant.gvwr.as_ref());
        for difference in &variant.axles {
            if let Some(axle) = profile
                .axles
                .iter_mut()
                .find(|a| a.id.as_str() == difference.axle.as_str())
            {
                put_axle(axle, difference);
            }
        }
        if let (Some(difference), Some(high_voltage)) =
            (&variant.energy, &mut profile.energy.high_voltage)
        {
            put_energy(high_voltage, difference);
        }
        keep_variant(&mut profile, &variant.id);
        Some(profile)
    }

    /// The axle that a reference names.
    pub fn axle(&self, axle: &AxleRef) -> Option<&Axle> {
        self.axles.iter().find(|a| a.id.as_str() == axle.as_str())
    }
}

fn put<T: Clone>(place: &mut Option<T>, value: Option<&T>) {
    if value.is_some() {
        *place = value.cloned();
    }
}

fn put_dimensions(profile: &mut Profile, variant: &Variant) {
    let dimensions = &mut profile.dimensions;
    put(&mut dimensions.wheelbase, variant.wheelbase.as_ref());
    put(&mut dimensions.length, variant.length.as_ref());
    put(
        &mut dimensions.front_overhang,
        variant.front_overhang.as_ref(),
    );
    put(
        &mut dimensions.rear_overhang,
        variant.rear_overhang.as_ref(),
    );
    put(&mut dimensions.height, variant.height.as_ref());
    put(
        &mut dimensions.ground_clearance,
        variant.ground_clearance.as_ref(),
    );
    put(&mut dimensions.side_outline, variant.side_outline.as_ref());
    put(&mut dimensions.plan_outline, variant.plan_outline.as_ref());
}

fn put_axle(axle: &mut Axle, difference: &AxleDifference) {
    if let Some(position) = &difference.position {
        axle.position = position.clone();
    }
    put(&mut axle.gawr, difference.gawr.as_ref());
    put(&mut axle.track, difference.track.as_ref());
    put(&mut axle.tyre, difference.tyre.as_ref());
    put(&mut axle.motor, difference.motor.as_ref());
    put(&mut axle.turning, difference.turning.as_ref());
}

fn put_energy(high_voltage: &mut HighVoltage, difference: &EnergyDifference) {
    put(
        &mut high_voltage.working_voltage,
        difference.working_voltage.as_ref(),
    );
    put(
        &mut high_voltage.maximum_voltage,
        difference.maximum_voltage.as_ref(),
    );
    put(&mut high_voltage.capacity, difference.capacity.as_ref());
    put(&mut high_voltage.chemistry, difference.chemistry.as_ref());
}

fn keep_variant(profile: &mut Profile, id: &Id) {
    let holds = |variants: &[VariantRef]| {
        variants.is_empty() || variants.iter().any(|v| v.as_str() == id.as_str())
    };
    profile
        .mass
        .readings
        .retain(|r| r.variant.as_ref().is_none_or(|v| v.as_str() == id.as_str()));
    if let Some(height) = &mut profile.mass.centre_height {
        height.lifts.retain(|l| holds(&l.variants));
    }
    profile.mass.items.retain(|i| holds(&i.variants));
    profile.points.retain(|p| holds(&p.variants));
    profile.zones.retain(|z| holds(&z.variants));
    profile.procedures.retain(|p| holds(&p.variants));
    profile.transport.rules.retain(|r| holds(&r.variants));
    if let Some(high_voltage) = &mut profile.energy.high_voltage {
        high_voltage.packs.retain(|p| holds(&p.variants));
        high_voltage.cables.retain(|c| holds(&c.variants));
    }
}
