"use strict";
// A place on a curve, read out: all numbers stand in the page; this shows one row of them.
(() => {
  const written = (value, decimals) => value.toFixed(decimals).replace("-", "\u2212");
  for (const readout of document.querySelectorAll(".readout")) {
    const curves = JSON.parse(readout.querySelector("script").textContent);
    const choice = readout.querySelector("select");
    const slider = readout.querySelector("input");
    const output = readout.querySelector("output");
    const show = () => {
      const points = curves[Number(choice.value)].points;
      slider.max = String(points.length - 1);
      const [x, density, low, high, slope] = points[Number(slider.value)];
      const words = "log exposure " + written(x, 2) + ": density " + written(density, 2)
        + " (" + written(low, 2) + " to " + written(high, 2) + "), slope " + written(slope, 2);
      output.textContent = words;
      slider.setAttribute("aria-valuetext", words);
    };
    choice.addEventListener("change", show);
    slider.addEventListener("input", show);
    readout.hidden = false;
    show();
  }
  // Without a script all is open; with one, what is long is folded, but never on paper.
  const folds = [...document.querySelectorAll("details")];
  let kept = [];
  const fold = (open) => folds.forEach((one, n) => { one.open = open(n); });
  addEventListener("beforeprint", () => { kept = folds.map((one) => one.open); fold(() => true); });
  addEventListener("afterprint", () => { fold((n) => kept[n]); });
  fold(() => false);
})();
