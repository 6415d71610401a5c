"""What a module and an array do at any sun and temperature: the single-diode curve and strings joined from it."""

from calc.physics.curve import Curve, FitError, ModuleModel, fit
from calc.physics.field import JointPoint, joint_mpp, joint_voc

__all__ = ["Curve", "FitError", "JointPoint", "ModuleModel", "fit", "joint_mpp", "joint_voc"]
