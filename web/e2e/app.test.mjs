import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { createRequire } from "node:module";
import { after, afterEach, before, describe, it } from "node:test";
import { browserPath, openShop, openStep, planned } from "./shop.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const demo = "dunlin-demist-box";
const none = browserPath() ? false : "no Chromium here: sh scripts/setup.sh brings it where it may";

describe("the app", { skip: none }, () => {
  let shop;
  before(async () => (shop = await openShop(demo)));
  after(() => shop?.close());
  afterEach(() => shop.leave());

  const grams = async (page) => Number(/part mass (\d+) g/.exec(await page.locator("nav").innerText())[1]);

  it("opens the demo and shows every step with its number", async () => {
    const page = await shop.page();
    await page.goto(shop.base);
    await page.getByRole("link", { name: /Demist box/ }).click();
    await planned(page);
    for (const words of ["Duty", "Mould", "Laminate", "Plies", "Strength", "Roll", "Wet-out", "Bag", "Cure", "Bench"])
      assert.ok(
        (await page.getByRole("link", { name: new RegExp(`^${words}`) }).innerText()).split("\n").length > 1,
        words,
      );
    assert.deepEqual(page.faults, []);
  });

  it("changes the plies and sees the mass move, and takes it back", async () => {
    const page = await shop.page();
    await openStep(page, shop.base, demo, "laminate");
    const before = await grams(page);
    await page.getByRole("button", { name: "One more like the last" }).click();
    await page.waitForFunction(
      (b) => Number(/part mass (\d+) g/.exec(document.querySelector("nav").innerText)?.[1]) > b,
      before,
      { timeout: 60_000 },
    );
    await planned(page);
    const more = await grams(page);
    assert.ok(more > before + 10, `${before} g, then ${more} g`);
    assert.match(
      readFileSync(join(shop.dir, demo, `${demo}.job.yaml`), "utf8"),
      /Against|against the aluminium/i,
      "remarks stay",
    );
    await page.getByRole("button", { name: "Undo" }).click();
    await page.waitForFunction(
      (b) => Number(/part mass (\d+) g/.exec(document.querySelector("nav").innerText)?.[1]) === b,
      before,
      { timeout: 60_000 },
    );
    await planned(page);
    assert.deepEqual(page.faults, []);
  });

  it("gives patterns and documents that are whole", async () => {
    const page = await shop.page();
    await openStep(page, shop.base, demo, "plies");
    await page.getByRole("button", { name: "Flat", exact: true }).click();
    const take = async (link) => {
      const [file] = await Promise.all([page.waitForEvent("download"), link.click()]);
      return readFileSync(await file.path());
    };
    const table = page.getByRole("table", { name: /Pieces of ply/ });
    const dxf = (await take(table.getByRole("link", { name: "DXF" }).first())).toString();
    assert.match(dxf, /SECTION[\s\S]*ENTITIES[\s\S]*EOF/);
    const pdf = await take(table.getByRole("link", { name: "PDF" }).first());
    assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
    assert.match(pdf.subarray(-64).toString(), /%%EOF/);
    assert.deepEqual(page.faults, []);
  });

  it("seeds the plies where a person presses", async () => {
    const page = await shop.page();
    await openStep(page, shop.base, demo, "plies");
    const box = await page.locator("canvas").boundingBox();
    await page.waitForTimeout(1500); // the first picture is drawn
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await page.getByText(/^Picked/).waitFor();
    await page.getByRole("button", { name: "Lay plies down here first" }).click();
    await page.waitForFunction(
      () =>
        document.querySelector("#in-plies-seed") === null || document.querySelector("#in-plies-seed").value !== "auto",
    );
    await planned(page);
    assert.match(readFileSync(join(shop.dir, demo, `${demo}.job.yaml`), "utf8"), /seed: \{unit: mm, xyz: \[/);
    await page.getByRole("button", { name: "Undo" }).click();
    await planned(page);
    assert.deepEqual(page.faults, []);
  });

  it("refuses a bad value with its reason and keeps the last good file", async () => {
    const page = await shop.page();
    await openStep(page, shop.base, demo, "wetout");
    const cup = page.getByLabel("Cup limit");
    await cup.fill("100 feet");
    await cup.press("Enter");
    await page.locator("#in-wetout-cup-limit-wrong").waitFor();
    assert.match(await page.locator("#in-wetout-cup-limit-wrong").innerText(), /length|mass|g/);
    assert.match(readFileSync(join(shop.dir, demo, `${demo}.job.yaml`), "utf8"), /cup_limit: "100 g"/);
    await page.getByRole("button", { name: "Undo" }).click();
    await planned(page);
    assert.equal(readdirSync(join(shop.dir, demo)).filter((f) => f.startsWith(".")).length, 0);
  });

  it("tells a second window what the first one did", async () => {
    const [one, two] = [await shop.page(), await shop.page()];
    await openStep(one, shop.base, demo, "bag");
    await openStep(two, shop.base, demo, "bag");
    await one.getByLabel("Vacuum", { exact: true }).fill("20 inHg");
    await one.getByLabel("Vacuum", { exact: true }).press("Enter");
    await two.getByText(/changed in another window/).waitFor({ timeout: 20_000 });
    await two.waitForFunction(() => document.querySelector("#in-bag-vacuum").value === "20 inHg");
    await planned(one);
    await one.getByRole("button", { name: "Undo" }).click();
    await planned(one);
  });

  it("answers a question and keeps it as a job", async () => {
    const page = await shop.page();
    await page.goto(shop.base);
    await page.getByLabel("What do you want to know?").selectOption("resin");
    await page.getByLabel(/^Area/).fill("3.8 feet");
    await page.getByLabel(/^Cloth/).fill("3xcarbon-plain-193");
    await page.getByRole("button", { name: "Answer" }).click();
    assert.match(await page.getByRole("alert").innerText(), /area/i);
    await page.getByLabel(/^Area/).fill("3.8 ft^2");
    await page.getByRole("button", { name: "Answer" }).click();
    assert.match(await page.getByRole("region", { name: "Answer" }).innerText(), /Mix \d+ g/);
    await page.getByLabel("Keep it as a job called").fill("resin for a lid");
    await page.getByRole("button", { name: "Keep", exact: true }).click();
    await planned(page);
    await page.getByRole("heading", { name: /Wet-out/ }).waitFor();
    assert.match(await page.locator("nav").innerText(), /g in \d+ pot/);
    assert.deepEqual(
      page.faults.filter((f) => !/422/.test(f)),
      [],
    );
  });

  it("is worked with the keyboard alone", async () => {
    const page = await shop.page();
    await openStep(page, shop.base, demo, "plies");
    const canvas = page.locator("canvas");
    await canvas.focus();
    const look = async () => (await canvas.screenshot()).toString("base64");
    await page.waitForTimeout(1500);
    const first = await look();
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("ArrowUp");
    await page.waitForTimeout(500);
    assert.notEqual(await look(), first, "arrow keys turn the part");
    await page.keyboard.press("Enter");
    await page.getByText(/^Picked/).waitFor();
    await page.getByRole("link", { name: /^Wet-out/ }).focus();
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: /Wet-out/ }).waitFor();
    assert.deepEqual(page.faults, []);
  });

  it("fits a phone", async () => {
    const page = await shop.page({ viewport: { width: 375, height: 760 } });
    for (const step of ["duty", "plies", "cure"]) {
      await openStep(page, shop.base, demo, step);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= 376, `${step} is ${wide} pixels wide`);
    }
  });

  for (const colorScheme of ["light", "dark"]) {
    it(`has no fault that axe finds, ${colorScheme}`, async () => {
      const page = await shop.page({ colorScheme, bypassCSP: true });
      const check = async (where) => {
        await page.evaluate(axe);
        const found = await page.evaluate(() =>
          axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }),
        );
        const words = found.violations.map(
          (v) =>
            `${v.id}: ${v.help}: ${v.nodes
              .map((n) => n.html.slice(0, 120))
              .slice(0, 3)
              .join(" | ")}`,
        );
        assert.deepEqual(words, [], where);
      };
      await page.goto(shop.base);
      await page.getByRole("link", { name: /Demist box/ }).waitFor();
      await check("first page");
      for (const step of [
        "duty",
        "mould",
        "laminate",
        "plies",
        "strength",
        "roll",
        "wetout",
        "bag",
        "cure",
        "bench",
        "job",
      ]) {
        await openStep(page, shop.base, demo, step);
        await check(step);
      }
      await page.getByRole("button", { name: "As text" }).click();
      await check("as text");
    });
  }
});
