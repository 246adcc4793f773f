# Reference figures for tests/external/*.test.ts out of R, on random times, series and counts.
# Debian 12: apt-get install r-base-core r-cran-survival; Rscript make_survival.R > survival.json; npx prettier --write survival.json
library(survival)
set.seed(20260101)

text <- function(x) ifelse(is.na(x), 'null', ifelse(is.infinite(x), ifelse(x > 0, '"Infinity"', '"-Infinity"'), format(x, digits = 15, trim = TRUE)))
vec <- function(x) paste0('[', paste(vapply(x, text, ''), collapse = ','), ']')
obj <- function(...) {
  parts <- list(...)
  paste0('{', paste0('"', names(parts), '":', vapply(parts, identity, ''), collapse = ','), '}')
}
list_of <- function(x) paste0('[', paste(x, collapse = ',\n'), ']')

drawn <- function(n) list(
  time = sample(0:30, n, replace = TRUE),
  event = rbinom(n, 1, runif(1, 0.3, 1)),
  group = sample(0:sample(1:3, 1), n, replace = TRUE))

curve <- function() {
  d <- drawn(sample(2:60, 1))
  scale <- sample(c('log-log', 'log'), 1)
  level <- sample(c(0.8, 0.9, 0.95), 1)
  s <- summary(survfit(Surv(d$time, d$event) ~ 1, conf.type = scale, conf.int = level))
  end <- function(x, left) { hit <- which(!is.na(x) & x <= left + 1e-9); if (length(hit)) s$time[hit[1]] else Inf }
  obj(times = vec(d$time), events = vec(d$event), scale = paste0('"', scale, '"'), confidence = text(level),
      time = vec(s$time), atRisk = vec(s$n.risk), count = vec(s$n.event), survival = vec(s$surv),
      error = vec(ifelse(s$surv > 0, s$std.err, NA)), low = vec(ifelse(s$surv > 0, s$lower, NA)), high = vec(ifelse(s$surv > 0, s$upper, NA)),
      median = vec(c(end(s$surv, 0.5), end(s$lower, 0.5), end(s$upper, 0.5))))
}

ranks <- function() {
  repeat {
    d <- drawn(sample(20:80, 1))
    if (length(unique(d$group)) > 1 && sum(d$event) > 1) break
  }
  d$group <- match(d$group, sort(unique(d$group))) - 1
  t <- survdiff(Surv(d$time, d$event) ~ d$group)
  obj(times = vec(d$time), events = vec(d$event), group = vec(d$group), observed = vec(t$obs), expected = vec(t$exp),
      chiSquare = text(t$chisq), freedom = text(length(t$n) - 1), p = text(pchisq(t$chisq, length(t$n) - 1, lower.tail = FALSE)))
}

trend <- function() {
  n <- sample(4:49, 1)
  tied <- runif(1) < 0.5
  y <- if (tied) sample(1:8, n, replace = TRUE) else round(rnorm(n) + runif(1, -0.1, 0.1) * 1:n, 6)
  exact <- !any(duplicated(y)) && n <= 40
  t <- cor.test(1:n, y, method = 'kendall', exact = exact, continuity = TRUE)
  obj(values = vec(y), exact = if (exact) 'true' else 'false', p = text(t$p.value))
}

ratio <- function() {
  a <- rpois(1, 10^runif(1, 0, 2)); b <- rpois(1, 10^runif(1, 0, 2))
  ta <- runif(1, 0.5, 20); tb <- runif(1, 0.5, 20)
  t <- poisson.test(c(a, b), c(ta, tb))
  obj(a = text(a), b = text(b), ta = text(ta), tb = text(tb), ratio = text(unname(t$estimate)), low = text(t$conf.int[1]), high = text(t$conf.int[2]))
}

cat(obj(made_with = paste0('"R ', getRversion(), ', survival ', packageVersion('survival'), '"'),
        curves = list_of(replicate(20, curve())), ranks = list_of(replicate(20, ranks())),
        trends = list_of(replicate(20, trend())), ratios = list_of(replicate(20, ratio()))), '\n')
