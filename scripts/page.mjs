// Opens pages of `mixbound report` and of the plant's commands and compares what a reader sees with the JSON of other commands.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const folder = resolve("target/page");
const mixbound = process.env.MIXBOUND;
const run = (...words) => {
  try {
    return execFileSync(mixbound, words, { encoding: "utf8", maxBuffer: 1 << 28, stdio: ["ignore", "pipe", "pipe"] });
  } catch (error) {
    if (error.status === 1) return error.stdout; // no mix: the page tells
    throw error;
  }
};
let compared = 0;
const failures = [];
const same = (what, shown, wanted) => {
  compared += 1;
  if (shown !== wanted) failures.push(`${what}: shown ${JSON.stringify(shown)}, wanted ${JSON.stringify(wanted)}`);
};
const near = (what, shown, wanted) => {
  compared += 1;
  const number = Number.parseFloat(shown);
  if (!(Math.abs(number - wanted) <= 6e-3 * Math.abs(wanted) + 6e-4)) failures.push(`${what}: shown ${shown}, wanted ${wanted}`);
};

// A statement whose every free text tries to break out of the page.
const hostile = `mixbound: 1
title: "</title><script>window.broken=1</script>"
note: "{{ 7 * 7 }} {% raw %} \\" ' </script><img src=x onerror=window.broken=2>"
currency: EUR
air: 2 %
materials:
  "<b>cement{{ 7 }}": {role: cement, density: 3000 kg/m3, price: 120 /t, carbon: 800 kg CO2e/t}
  "<img src=q onerror='window.broken=4'>": {role: sand, density: 2500 kg/m3 surface-dry, absorption: 1 %, price: 12 /t surface-dry, carbon: 5 kg CO2e/t surface-dry}
  water: {role: water, density: 1000 kg/m3, price: 1 /t, carbon: 0 kg CO2e/t, amount: 180 .. 250 kg/m3}
limits:
  binder: {at least: 300 kg/m3, note: "</script><script>window.broken=3</script>"}
goal: least cost
`;
const hostilePath = join(folder, "hostile.yaml");
writeFileSync(hostilePath, hostile);
const reference = "problems/01-by-hand.yaml";
const mixes = [["today", 320, 1737, 180], ["rich", 400, 1620, 200]].map(([name, cement, sand, water]) => {
  const path = join(folder, `${name}.yaml`);
  writeFileSync(path, `title: ${name}\namounts:\n  cement: ${cement} kg/m3\n  sand: ${sand} kg/m3\n  water: ${water} kg/m3\n`);
  return path;
});

const repair = "problems/00-reference-repair.yaml";
const plain = "problems/02-plain-structural.yaml";
const goals = "cost, most crack-free age";
const ages = "limits.crack-free age.at least=14 d .. 42 d : 5";
// A sweep of named scenarios and one key, some cases of which have no mix.
const scenarios = join(folder, "scenarios.yaml");
writeFileSync(scenarios, `include: 01.yaml
study:
  scenarios:
    "today": {}
    "<i>dear</i> cement": {materials: {cement: {price: 190 /t}}}
  vary:
    limits.mean strength.at least: [25 MPa, 30 MPa, 60 MPa]
`);
writeFileSync(join(folder, "01.yaml"), readFileSync(reference, "utf8"));

const pages = {
  reference: ["report", repair],
  front: ["report", repair, "--no-proof", "--front", goals, "--points", "7", "--vary", ages],
  three: ["report", plain, "--front", "cost, carbon, least water", "--points", "12"],
  scenarios: ["report", scenarios, "--sweep"],
  compared: ["report", reference, "--limits", "--against", ...mixes],
  customary: ["report", "problems/04-us-units.yaml", "--no-proof"],
  cracking: ["report", "problems/12-mechanistic-cracking.yaml", "--no-proof"],
  impossible: ["report", "problems/09-cannot-be-met.yaml"],
  hostile: ["report", hostilePath, "--front", "cost, carbon", "--vary", "materials.<b>cement{{ 7 }}.price=100 /t, 140 /t", "--vary", "air=1 %, 2 %, 3 %"],
};
for (const [name, words] of Object.entries(pages)) run(...words, "-o", join(folder, `${name}.html`));
// Answers of the plant's commands as pages to print: tables and charts alone, and one figure of each line beside JSON.
const leaves = {
  sheet: ["batch-sheet", "problems/16-batch-sheet.yaml", "--order", "problems/16-batch-sheet/order.yaml"],
  risk: ["risk", "problems/17-weighed-with-risk.yaml"],
  round: ["round", "problems/18-whole-steps.yaml"],
  plant: ["plant", "problems/plant/plant.yaml"],
};
const lines = {
  sheet: (told) => told.lines.filter((line) => line.load === 1).map((line) => [line.item, line.batch]),
  risk: (told) => told.limits.map((line) => [line.limit, line.designed]),
  round: (told) => told.lines.map((line) => [line.material, line.of_load]),
  plant: (told) => told.mixes.map((line) => [line.mix, line.cost]),
};
for (const [name, words] of Object.entries(leaves)) run(...words, "--page", join(folder, `${name}.html`));

const profile = mkdtempSync(join(tmpdir(), "mixbound-page-"));
const flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const context = await chromium.launchPersistentContext(profile, { executablePath: process.env.BROWSER, args: flags, viewport: { width: 1200, height: 900 } });
const checker = readFileSync(join(folder, "node_modules/axe-core/axe.min.js"), "utf8");

for (const name of [...Object.keys(pages), ...Object.keys(leaves)]) {
  const page = await context.newPage();
  page.on("console", (message) => { if (message.type() === "error") failures.push(`${name}: console: ${message.text()}`); });
  page.on("pageerror", (error) => failures.push(`${name}: ${error}`));
  page.on("request", (request) => { if (!/^(file|data):/.test(request.url())) failures.push(`${name}: asks for ${request.url()}`); });
  const address = pathToFileURL(join(folder, `${name}.html`)).href;
  for (const scheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme: scheme });
    await page.goto(address);
    await page.screenshot({ path: join(folder, `${name}-${scheme}.png`), fullPage: true });
    // The page's own policy lets no foreign script in; the checker is evaluated beside it.
    await page.evaluate(checker);
    // In the dark only colours differ.
    const rules = scheme === "light" ? ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] : { type: "rule", values: ["color-contrast"] };
    const result = await page.evaluate((rules) => globalThis.axe.run(document, { runOnly: rules }), rules);
    compared += result.passes.length;
    for (const violation of result.violations) {
      const nodes = violation.nodes.slice(0, 3).map((node) => `${node.target}: ${node.failureSummary.replaceAll("\n", " ")}`);
      failures.push(`${name}, ${scheme}: ${violation.id} (${violation.nodes.length}): ${nodes.join(" | ")}`);
    }
  }
  await page.setViewportSize({ width: 390, height: 844 });
  same(`${name}: overflow of a narrow page`, await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
  await page.screenshot({ path: join(folder, `${name}-narrow.png`), fullPage: true });
  await page.setViewportSize({ width: 1200, height: 900 });
  await page.emulateMedia({ media: "print" });
  for (const format of ["A4", "Letter"]) await page.pdf({ path: join(folder, `${name}-${format}.pdf`), format, preferCSSPageSize: false });
  await page.emulateMedia({ media: "screen" });
  same(`${name}: nothing ran that a statement wrote`, await page.evaluate(() => globalThis.broken ?? 0), 0);
  same(`${name}: ids are unique`, await page.evaluate(() => {
    const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
    return ids.length - new Set(ids).size;
  }), 0);
  if (name in leaves) {
    const rows = await page.locator("table tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent.trim())));
    for (const [item, value] of lines[name](JSON.parse(run(...leaves[name], "--format", "json")))) {
      const is = (cell) => Math.abs(Number.parseFloat(cell.replaceAll(" ", "")) - value) <= 6e-3 * Math.abs(value) + 6e-4;
      same(`${name}: ${item} ${value}`, rows.some((row) => row[0] === item && row.slice(1).some(is)), true);
    }
    await page.close();
    continue;
  }
  // Every point: pressed by pointer or key, its mix shown.
  const data = await page.evaluate(() => JSON.parse(document.getElementById("data").textContent));
  for (const { chart, points } of data.points) {
    const buttons = page.locator(`#${chart} [data-point]`);
    same(`${name}: points of ${chart}`, await buttons.count(), points.length);
    for (let at = 0; at < await buttons.count(); at += 1) {
      const button = buttons.nth(at);
      // Points of three goals may lie behind one another: keys reach each of them.
      if (at % 2 === 0 && name !== "three") await button.click({ force: true }); else { await button.focus(); await page.keyboard.press("Enter"); }
      const point = points[Number(await button.getAttribute("data-point"))];
      const place = page.locator(`#${chart}-chosen`);
      same(`${name}: heading`, await place.locator("h3").textContent(), point.name);
      const rows = await place.locator("table").first().locator("tr").allTextContents();
      same(`${name}: materials of ${point.name}`, rows.length, point.mix.length);
      if (point.state !== "") same(`${name}: state of ${point.name}`, await place.locator("p").first().textContent(), point.state);
      for (const [index, row] of rows.entries()) same(`${name}: ${point.name}`, row, point.mix[index].name + point.mix[index].text);
      for (const figure of [...point.mix, ...point.figures]) if (figure.value !== null) near(`${name}: ${figure.name}`, figure.text, figure.value);
      same(`${name}: pressed`, await page.locator(`#${chart} [aria-pressed="true"]`).count(), 1);
    }
    await page.screenshot({ path: join(folder, `${name}-${chart}.png`), fullPage: true });
  }
  // The shown table against an independent command.
  if (name === "reference" || name === "compared") {
    const solved = JSON.parse(run("solve", pages[name][1], "--format", "json"));
    const rows = await page.locator("section[aria-labelledby=mix] table tbody tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent.trim())));
    for (const amount of solved.mix) {
      const row = rows.find((row) => row[0] === amount.material);
      same(`${name}: ${amount.material} has a row`, row !== undefined, true);
      near(`${name}: ${amount.material}`, row?.[1] ?? "", amount.amount.value);
    }
  }
  // Each point of a front and of a sweep, as it is shown, against the table of the command of its own.
  const against = async (chart, number, told) => {
    await page.locator(`#${chart} [data-point]`).nth(number).click({ force: true });
    const rows = await page.locator(`#${chart}-chosen table`).first().locator("tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent)));
    same(`${name}: materials of point ${number} of ${chart}`, rows.length, told.mix.length);
    for (const amount of told.mix) near(`${name}: ${amount.material} of point ${number} of ${chart}`, rows.find((row) => row[0] === amount.material)?.[1] ?? "", amount.amount);
    const shown = await page.locator(`#${chart}-chosen`).textContent();
    same(`${name}: limits of point ${number} of ${chart}`, told.stands_at.length === 0 || shown.includes(`Stands at: ${told.stands_at.join(", ")}.`), true);
  };
  if (name === "front") {
    const front = JSON.parse(run("front", repair, "--no-proof", "--goals", goals, "--points", "7", "--format", "json"));
    same("front: points", await page.locator("#front [data-point]").count(), front.points.length);
    for (const [number, point] of front.points.entries()) await against("front", number, point);
    const sweep = JSON.parse(run("sweep", repair, "--no-proof", "--vary", ages, "--format", "json"));
    const solved = sweep.cases.filter((one) => one.mix.length > 0);
    for (const [number, one] of solved.entries()) await against("sweep", number, one);
    const cells = await page.locator("section[aria-labelledby=front-heading] table:has(thead)").first().locator("tbody tr").evaluateAll((rows) => rows.filter((row) => row.cells.length > 2).map((row) => [...row.cells].map((cell) => cell.textContent)));
    for (const [number, point] of front.points.entries()) near(`front: cost of row ${number}`, cells.find((row) => row[0] === `point ${number + 1}`)?.[1] ?? "", point.values[0]);
  }
  if (name === "scenarios") {
    same("scenarios: cases without a mix stand in the table", await page.getByText("proven infeasible", { exact: true }).count(), 2);
    same("scenarios: names stay text", await page.locator("i").count(), 0);
  }
  if (name === "compared") {
    const predicted = JSON.parse(run("predict", reference, "--mix", ...mixes, "--format", "json"));
    await page.locator("#given-mixes [data-point]").first().click({ force: true });
    const rows = await page.locator("#given-mixes-chosen table").first().locator("tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent)));
    same("compared: materials of the reference", rows.length, predicted[0].mix.length);
    // A property that the reader leaves out is gone from every chart of changes, and comes back.
    const charts = page.locator("svg[id^='change-']");
    const shown = () => charts.evaluateAll((all) => all.map((chart) => [chart.querySelectorAll(".row:not([display='none'])").length, chart.getBoundingClientRect().height]));
    const before = await shown();
    const box = page.locator("#properties input").first();
    const property = await page.locator("#properties label").first().textContent();
    await box.uncheck();
    const without = await shown();
    same(`compared: ${property} left out`, JSON.stringify(without.map(([rows]) => rows)), JSON.stringify(before.map(([rows]) => rows - 1)));
    same("compared: charts are lower then", without.every(([, height], at) => height < before[at][1]), true);
    await box.check();
    same("compared: all are back", JSON.stringify(await shown()), JSON.stringify(before));
    for (const amount of predicted[0].mix) near(`compared: ${amount.material}`, rows.find((row) => row[0] === amount.material)?.[1] ?? "", amount.amount.value);
  }
  if (name === "hostile") {
    same("hostile: title", await page.locator("h1").textContent(), "</title><script>window.broken=1</script>");
    same("hostile: no foreign element", await page.locator("img, b, [onerror]").count(), 0);
    same("hostile: braces", (await page.locator(".note").textContent()).startsWith("{{ 7 * 7 }} {% raw %}"), true);
  }
  await page.close();
}
await context.close();
rmSync(profile, { recursive: true, force: true });
for (const failure of failures) console.error(failure);
console.log(`${compared} comparisons of pages, ${failures.length} failed`);
process.exit(failures.length === 0 ? 0 : 1);
