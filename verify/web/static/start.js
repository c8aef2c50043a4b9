/** Lets the page be painted before it is made to work: loading what that takes would come first. */
const work = () => import("./main.js");
if (document.hidden) work();
else requestAnimationFrame(() => setTimeout(work));
