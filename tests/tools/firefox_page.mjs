// The page in Firefox, driven by WebDriver BiDi: laid out, zoomed by the wheel, with a fault, drawn.
//
//   NODE_PATH=... node tests/tools/firefox_page.mjs ADDRESS PICTURE
//
// Prints what it saw as JSON. Requires: the command firefox-esr and puppeteer-core.

import { createRequire } from "node:module";

const puppeteer = createRequire(import.meta.url)("puppeteer-core");
const [address, picture] = process.argv.slice(2);
const errors = [];

const browser = await puppeteer.launch({
  browser: "firefox", executablePath: "/usr/bin/firefox-esr", headless: !process.env.DISPLAY,
  extraPrefsFirefox: { "webgl.force-enabled": true, "webgl.forbid-software": false },
});
try {
  const page = await browser.newPage();
  await page.setViewport({ width: 1280, height: 900 });
  page.on("pageerror", (error) => errors.push(String(error)));
  await page.goto(address);
  await page.waitForSelector("body[data-shown]");
  await page.waitForSelector('#results[aria-busy="false"]');
  const said = (selector) => page.$eval(selector, (node) => node.textContent);
  const seen = {
    agent: await browser.version(), works: !(await said("#view")).includes("WebGL 2 is missing"),
    figures: await said("#figures"), legend: await said(".legend"),
  };
  const type = async (text) => {
    const box = await page.$("#f-profile-width");
    await box.click({ count: 3 });
    await box.type(text);
    await new Promise((done) => { setTimeout(done, 300); });
    await page.waitForSelector('#results[aria-busy="false"]');
  };
  await type("24 ft");
  seen.wider = await said("#figures");
  const canvas = await page.$("#canvas");
  const { x, y, width, height } = await canvas.boundingBox();
  await page.mouse.move(x + width / 2, y + height / 2);
  await page.mouse.wheel({ deltaY: -300 });
  await type("24");
  seen.stale = await said("#stale");
  seen.badge = await said("#badge");
  await type("24 ft");
  await page.click("#tab-sheets");
  await page.waitForSelector('#sheets img[alt^="Sheet 1"]', { timeout: 60000 });
  seen.sheets = (await page.$$("#sheet option")).length;
  await page.click("#tab-view");
  // The frame is painted with the next frames of the screen.
  await new Promise((done) => { setTimeout(done, 1000); });
  await page.screenshot({ path: picture });
  console.log(JSON.stringify({ ...seen, errors }));
} finally {
  await browser.close();
}
