"use strict";
// The arithmetic of drift: effective development and the time that is left.
//
// A law is {energy, reference}: the activation energy in kJ/mol and the reference temperature in °C.
// A reading is {minutes, celsius}: minutes since the film went in, and the temperature then.
// An activity and a target are {value, low, high}; a target is in effective minutes.

const GAS = 8.314462618; // J/(mol K)
const ZERO = 273.15; // 0 °C in kelvin
const PIECES = 20; // of each stretch between two readings

// Rate over that at the reference temperature: exp(-E/R (1/T - 1/T_ref)).
function rateAt(law, celsius) {
  const perEnergy = (1e3 / GAS) * (1 / (law.reference + ZERO) - 1 / (celsius + ZERO));
  return Math.exp(law.energy * perEnergy);
}

// The mean rate while the temperature goes straight from one value to another, by Simpson's rule.
function meanRate(law, from, to) {
  const width = 1 / PIECES;
  const rate = (share) => rateAt(law, from + share * (to - from));
  let sum = 0;
  for (let i = 0; i < PIECES; i += 1) {
    const at = width * i;
    sum += ((rate(at) + 4 * rate(at + 0.5 * width) + rate(at + width)) * width) / 6;
  }
  return sum;
}

// Effective minutes until the last reading. Before the first one the temperature was that of the first.
function effectiveMinutes(law, readings, activity) {
  if (readings.length === 0) {
    return 0;
  }
  let sum = readings[0].minutes * rateAt(law, readings[0].celsius);
  for (let i = 1; i < readings.length; i += 1) {
    const [before, now] = [readings[i - 1], readings[i]];
    sum += (now.minutes - before.minutes) * meanRate(law, before.celsius, now.celsius);
  }
  return activity * sum;
}

// Minutes from the last reading, at its temperature, to a target in effective minutes.
function remainingFor(law, readings, activity, target) {
  const last = readings[readings.length - 1];
  return (target - effectiveMinutes(law, readings, activity)) / (activity * rateAt(law, last.celsius));
}

// The same with its interval: the errors of the target and of the activity are independent.
function remainingMinutes(law, readings, activity, target) {
  const value = remainingFor(law, readings, activity.value, target.value);
  const end = (targetEnd, activityEnd) => {
    const byTarget = remainingFor(law, readings, activity.value, targetEnd);
    if (activityEnd === activity.value) {
      return byTarget;
    }
    const byActivity = remainingFor(law, readings, activityEnd, target.value);
    const away = Math.hypot(byTarget - value, byActivity - value);
    return value + (byTarget < value ? -away : away);
  };
  return { value, low: end(target.low, activity.high), high: end(target.high, activity.low) };
}
