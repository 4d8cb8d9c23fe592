// A shop of one's own for each test file: the program on a free port, a copy of the
// examples, and a real browser.
import { chromium } from "playwright-core";
import { spawn } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../..", import.meta.url));
const program = join(root, "bin/laywright");

/** The browser to drive, or why there is none. */
export function browserPath() {
  const found = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(
    (p) => p && existsSync(p),
  );
  return found ?? null;
}

export async function openShop(...jobs) {
  const dir = mkdtempSync(join(tmpdir(), "laywright-"));
  for (const j of jobs) cpSync(join(root, "examples", j), join(dir, j), { recursive: true });
  const server = spawn(program, ["serve", "--dir", dir, "--listen", "127.0.0.1:0"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const base = await new Promise((resolve, reject) => {
    server.stdout.on("data", (text) => resolve(/http:\/\/\S+/.exec(String(text))[0]));
    server.on("exit", (code) => reject(new Error(`the program ended with ${code}`)));
  });
  const browser = await chromium.launch({
    executablePath: browserPath(),
    args: ["--no-sandbox", "--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"],
  });
  return {
    base,
    dir,
    browser,
    async page(options = {}) {
      const context = await browser.newContext({
        viewport: { width: 1400, height: 900 },
        acceptDownloads: true,
        ...options,
      });
      const page = await context.newPage();
      page.faults = [];
      page.on("pageerror", (e) => page.faults.push(e.message));
      page.on("console", (m) => m.type() === "error" && page.faults.push(m.text()));
      return page;
    },
    /** Closes the windows of a test, so that none of them plans on. */
    async leave() {
      await Promise.all(browser.contexts().map((c) => c.close()));
    },
    async close() {
      await browser.close();
      server.kill();
      rmSync(dir, { recursive: true, force: true });
    },
  };
}

/** Opens a step of a job and waits until its plan is made. */
export async function openStep(page, base, job, step) {
  await page.goto(`${base}/#/job/${job}~${job}/${step}`);
  await planned(page);
}

export async function planned(page) {
  await page.getByText("Kept", { exact: true }).waitFor({ timeout: 120_000 });
}
