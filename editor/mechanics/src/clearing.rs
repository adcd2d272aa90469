//! A vehicle driven over ramp, hinge and deck: the smallest clearance, and where.
