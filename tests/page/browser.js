// The page in headless Chromium: no network, no faults for axe-core, nothing wider than the
// screen at 360 and 1280 points, usable without scripts, prints on A4 and Letter.
//   node browser.js PAGE [FOLDER FOR PICTURES] [large]     large: cards and long lists are folded
// axe-core (Deque Systems, MPL-2.0) checks the rules of WCAG 2.2 levels A and AA.
const fs = require("fs");
const path = require("path");
const { chromium } = require("playwright-core");
const axe = fs.readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const page = "file://" + path.resolve(process.argv[2]);
const pictures = process.argv[3];
const large = process.argv[4] === "large";
const SCREENS_MOST = 250, SHEETS_MOST = 60; // of a large farm, as it opens
let passed = 0, failed = 0;

function check(what, found) {
  if (found.length) {
    failed++;
    console.log("FAILED " + what + ": " + found.slice(0, 5).join("; "));
  } else {
    passed++;
  }
}

async function open(browser, width, options) {
  const context = await browser.newContext({
    viewport: { width, height: 900 }, bypassCSP: false, ...options,
  });
  const tab = await context.newPage();
  const asked = [], said = [];
  tab.on("request", (r) => { if (r.url() !== page) asked.push(r.url()); });
  tab.on("console", (m) => said.push(m.text()));
  tab.on("pageerror", (e) => said.push(String(e)));
  await tab.goto(page);
  return { context, tab, asked, said };
}

// The policy of the page forbids axe too: it is let in by a context of its own.
async function faults(browser, width) {
  const { context, tab } = await open(browser, width, { bypassCSP: true });
  await tab.evaluate(axe);
  const result = await tab.evaluate(() => axe.run(document, {
    runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  }));
  await context.close();
  return result.violations.map((v) => `${v.impact}: ${v.id} (${v.nodes.length}) ${v.nodes[0].html.slice(0, 90)}`);
}

async function screen(browser, width) {
  const { context, tab, asked, said } = await open(browser, width);
  const wide = await tab.evaluate(() => [...document.querySelectorAll("body *")]
    .filter((e) => {
      const r = e.getBoundingClientRect();
      return r.width && r.right > innerWidth + 1 && !e.closest(".skip,thead,svg");
    }).map((e) => e.outerHTML.slice(0, 80)));
  check(`nothing is wider than ${width}`, wide);
  const small = await tab.evaluate(() => [...document.querySelectorAll("td,th,p,li,dd,dt,text")]
    .filter((e) => {
      if (!e.textContent.trim() || !e.getBoundingClientRect().width) return false;
      const m = e.ownerSVGElement ? e.getScreenCTM().a : 1;
      return parseFloat(getComputedStyle(e).fontSize) * m < 9.5;
    }).map((e) => e.outerHTML.slice(0, 80)));
  check(`text can be read at ${width}`, small);
  check(`no request at ${width}`, asked);
  check(`the browser has nothing to say at ${width}`, said);
  if (pictures) await tab.screenshot({ path: path.join(pictures, `page-${width}.png`), fullPage: true });
  await context.close();
}

async function find(browser) {
  const { context, tab } = await open(browser, 1280);
  const all = await tab.locator(".card:visible").count();
  await tab.fill("#find-cards", "wreath");
  const some = await tab.locator(".card:visible").count();
  check("the finder finds", some > 0 && some < all ? [] : [`${some} of ${all}`]);
  await tab.keyboard.press("Tab");
  const named = await tab.evaluate(() => document.activeElement !== document.body);
  check("the keyboard moves on", named ? [] : ["nothing has the focus"]);
  await context.close();
}

// What the folds are for: a page of many pieces that a phone shows and a printer prints.
async function folds(browser) {
  const { context, tab } = await open(browser, 360);
  const count = (of) => tab.locator(of).count();
  check("every card is folded", (await count("details.card")) === (await count(".card")) ? [] : ["some are not"]);
  check("long lists are folded", (await count("details.list")) > 2 ? [] : ["none"]);
  check("nothing is open", (await count("details[open]")) ? ["some are"] : []);
  const high = await tab.evaluate(() => document.documentElement.scrollHeight / 800);
  check("not endless on a phone", high <= SCREENS_MOST ? [] : [`${high} screens`]);
  const tall = await tab.evaluate(() => [...document.querySelectorAll("figure.chart")]
    .filter((f) => f.querySelectorAll("text").length > 130).map((f) => f.id));
  check("charts can be read", tall);
  await tab.fill("#find-cards", "crown");
  await tab.click("#cards button");
  const found = await tab.locator(".card:visible").count();
  check("all that is found is opened", found > 0 && found === (await count(".card[open]")) ? [] : [String(found)]);
  await tab.fill("#find-prices", "crown");
  check("the list is opened where it finds", (await count("#prices details[open]")) === 1 ? [] : ["it is not"]);
  await context.close();
}

async function plain(browser) {
  const { context, tab } = await open(browser, 1280, { javaScriptEnabled: false });
  const hidden = await tab.locator(".find:visible").count();
  check("without scripts no finder is shown", hidden ? [String(hidden)] : []);
  check("without scripts all cards are", (await tab.locator(".card:visible").count()) ? [] : ["none"]);
  await context.close();
}

async function print(browser, format) {
  const { context, tab } = await open(browser, 1280);
  const file = pictures ? path.join(pictures, `page-${format}.pdf`) : undefined;
  const pdf = await tab.pdf({ path: file, format });
  check(`prints on ${format}`, pdf.length > 10000 ? [] : [`${pdf.length} bytes`]);
  const sheets = pdf.toString("latin1").split(/\/Type \/Page\b(?!s)/).length - 1;
  check(`on a bearable number of ${format} sheets`, sheets > 10 && sheets <= SHEETS_MOST ? [] : [String(sheets)]);
  await tab.emulateMedia({ media: "print" });
  const shown = await tab.locator("nav:visible, .find:visible").count();
  check(`no links in print on ${format}`, shown ? [String(shown)] : []);
  await context.close();
}

(async () => {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
      "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  try {
    for (const width of [360, 1280]) {
      if (!large || width === 360) check(`accessible at ${width}`, await faults(browser, width));
      await screen(browser, width);
    }
    await find(browser);
    if (large) await folds(browser);
    await plain(browser);
    for (const format of ["A4", "Letter"]) await print(browser, format);
  } finally {
    await browser.close();
  }
  console.log(`${passed} passed, ${failed} failed`);
  process.exit(failed ? 1 : 0);
})();
