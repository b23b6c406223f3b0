/** Says before anything is shown that scripts run, so that what stands in for them is never fetched. */
document.documentElement.classList.add("js");
