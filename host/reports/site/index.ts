export { deskScript, listPage, monthFile, type SiteRun } from './list-page.js';
export { type Counted, type SiteStats, statsPage } from './stats-page.js';
