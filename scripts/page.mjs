// Opens pages of `mixbound report` and compares what a reader sees with the JSON of other commands.
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

const pages = {
  reference: ["report", "problems/00-reference-repair.yaml"],
  compared: ["report", reference, "--limits", "--against", ...mixes],
  customary: ["report", "problems/04-us-units.yaml", "--no-proof"],
  cracking: ["report", "problems/12-mechanistic-cracking.yaml", "--no-proof"],
  impossible: ["report", "problems/09-cannot-be-met.yaml"],
  hostile: ["report", hostilePath],
};
for (const [name, words] of Object.entries(pages)) run(...words, "-o", join(folder, `${name}.html`));

const profile = mkdtempSync(join(tmpdir(), "mixbound-page-"));
const flags = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const context = await chromium.launchPersistentContext(profile, { executablePath: process.env.BROWSER, args: flags, viewport: { width: 1200, height: 900 } });
const checker = readFileSync(join(folder, "node_modules/axe-core/axe.min.js"), "utf8");

for (const name of Object.keys(pages)) {
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
    const result = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
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
  // Every point: pressed by pointer or key, its mix shown.
  const data = await page.evaluate(() => JSON.parse(document.getElementById("data").textContent));
  for (const { chart, points } of data.points) {
    const buttons = page.locator(`#${chart} [data-point]`);
    same(`${name}: points of ${chart}`, await buttons.count(), points.length);
    for (let at = 0; at < await buttons.count(); at += 1) {
      const button = buttons.nth(at);
      if (at % 2 === 0) await button.click({ force: true }); else { await button.focus(); await page.keyboard.press("Enter"); }
      const point = points[Number(await button.getAttribute("data-point"))];
      const place = page.locator(`#${chart}-chosen`);
      same(`${name}: heading`, await place.locator("h3").textContent(), point.name);
      const rows = await place.locator("table").first().locator("tr").allTextContents();
      same(`${name}: materials of ${point.name}`, rows.length, point.mix.length);
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
      near(`${name}: ${amount.material}`, row?.[3] ?? "", amount.amount.value);
    }
  }
  if (name === "compared") {
    const predicted = JSON.parse(run("predict", reference, "--mix", ...mixes, "--format", "json"));
    await page.locator("#given-mixes [data-point]").first().click({ force: true });
    const rows = await page.locator("#given-mixes-chosen table").first().locator("tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent)));
    same("compared: materials of the reference", rows.length, predicted[0].mix.length);
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
